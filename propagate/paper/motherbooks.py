"""The register of mother plants on paper."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from propagate.days import written
from propagate.paper.csvfiles import Cell as CsvCell
from propagate.paper.listings import (
    Cell,
    Cells,
    Column,
    Listing,
    Part,
    count_cell,
    name_cell,
    place_words,
    render_listing,
)
from propagate.paper.printing import Print
from propagate.records.worksheets import Mother, MotherRegister

COLUMNS = (
    Column("Mother", "text", 34),
    Column("Plant", "name"),
    Column("Where she grows, since when", "text", 52),
    Column("Batches", "number", 14),
    Column("Taken", "number", 14),
    Column("Raised", "number", 14),
    Column("Waiting", "number", 15),
    Column("Last taken", "text", 23),
    Column("Health, remarks", "box", 42),
)
CSV_HEADER = (
    "line", "mother", "plant", "common", "place", "since", "raised_from", "note",
    "batches", "taken", "raised", "waiting", "last_taken",
)  # fmt: skip


def render_mother_register(
    register: MotherRegister, folders: Sequence[Path], *, paper: str = "a4"
) -> Print:
    """Draw the register in landscape on A4 or US Letter."""
    listing = Listing(
        title="Mother plants",
        nursery=register.nursery,
        as_of=register.as_of,
        columns=COLUMNS,
        parts=(_part(register),) if register.mothers else (),
        nothing="There is no mother plant in the book yet.",
        footnotes=tuple(_footnotes(register)),
        lying=True,
    )  # fmt: skip
    return render_listing(listing, folders, paper, CSV_HEADER, _table(register))


def _part(register: MotherRegister) -> Part:
    sums = map(count_cell, _sums(register))
    total = (Cell(), Cell("All mothers"), Cell(), *sums, Cell(), Cell())
    return Part("", tuple(map(_line, register.mothers)), total=total)


def _footnotes(register: MotherRegister) -> Iterator[str]:
    yield (
        "Taken: cuttings, runners, seeds and so on started from her. Raised: those that made"
        " plants, here or gone. Waiting: those that may still."
    )
    if register.unknown:
        batches = "batch" if register.unknown == 1 else "batches"
        yield f"{register.unknown} {batches} in the book without a mother are not counted here."


def _line(mother: Mother) -> Cells:
    since = f"in the book from {written(mother.since)}"
    raised_from = f"raised from batch {mother.raised_from}" if mother.raised_from else ""
    said = (since, raised_from, mother.note)
    return (
        Cell(mother.key, strong=True),
        name_cell(mother.name, mother.common),
        Cell(place_words(mother.place), under=tuple(filter(None, said))),
        *map(count_cell, (mother.batches, mother.taken, mother.raised, mother.waiting)),
        Cell(written(mother.last_taken) if mother.last_taken else ""),
        Cell(),
    )


def _sums(register: MotherRegister) -> tuple[int, int, int, int]:
    mothers = register.mothers
    return (
        sum(mother.batches for mother in mothers),
        sum(mother.taken for mother in mothers),
        sum(mother.raised for mother in mothers),
        sum(mother.waiting for mother in mothers),
    )


def _table(register: MotherRegister) -> Iterator[tuple[CsvCell, ...]]:
    for mother in register.mothers:
        yield (
            "mother", mother.key, str(mother.name), mother.common, mother.place,
            mother.since.isoformat(), mother.raised_from, mother.note,
            mother.batches, mother.taken, mother.raised, mother.waiting,
            mother.last_taken.isoformat() if mother.last_taken else "",
        )  # fmt: skip
    yield ("all", "", "", "", "", "", "", "", *_sums(register), "")
