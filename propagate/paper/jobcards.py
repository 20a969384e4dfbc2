"""The week's job card: a square to tick, what to do, why, and what to type afterwards."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from propagate.days import written, written_short
from propagate.paper.csvfiles import Cell as CsvCell
from propagate.paper.listings import (
    Cell,
    Cells,
    Column,
    Listing,
    Part,
    name_cell,
    place_words,
    render_listing,
)
from propagate.paper.printing import Print
from propagate.records.worksheets import Job, JobCard

COLUMNS = (
    Column("Done", "tick", 9),
    Column("Batch", "code", 18),
    Column("Plant", "name", 53),
    Column("Do"),
    Column("From, to", "text", 24),
    Column("How many", "box", 17),
)
CSV_HEADER = (
    "place", "batch", "plant", "common", "do", "date", "until", "late", "why", "type", "cautions",
)  # fmt: skip


def render_job_card(card: JobCard, folders: Sequence[Path], *, paper: str = "a4") -> Print:
    """Draw the card upright on A4 or US Letter."""
    after = f"; the next job is of {written(card.next_on)}" if card.next_on else ""
    listing = Listing(
        title="Jobs",
        subtitle=f"up to {written(card.until)}",
        nursery=card.nursery,
        as_of=card.as_of,
        columns=COLUMNS,
        parts=tuple(
            Part(place_words(at.place), tuple(_line(job) for job in at.jobs)) for at in card.places
        ),
        nothing=f"Nothing is due up to {written(card.until)}{after}.",
        footnotes=("Write the number in the box, tick the square, and type it in when dry.",),
    )
    return render_listing(listing, folders, paper, CSV_HEADER, _table(card))


def _line(job: Job) -> Cells:
    about = job.subject
    last = written(job.until) if job.until > job.date else ""
    return (
        Cell(),
        Cell(about.code),
        name_cell(about.name, about.common, about.cautions),
        Cell(job.action, under=(job.why,), typed=(job.typed,) if job.typed else (), strong=True),
        Cell(
            written_short(job.date) if last else written(job.date),
            under=(*([f"to {last}"] if last else []), *(["late"] if job.late else [])),
            strong=job.late,
        ),
        Cell(),
    )


def _table(card: JobCard) -> Iterator[tuple[CsvCell, ...]]:
    for at in card.places:
        for job in at.jobs:
            about = job.subject
            yield (
                at.place, about.code, str(about.name), about.common, job.action,
                job.date.isoformat(), job.until.isoformat(), "yes" if job.late else "no",
                job.why, job.typed, "; ".join(about.cautions),
            )  # fmt: skip
