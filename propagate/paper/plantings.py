"""The planting-out list: bed by bed what stands, what is wanted, and what can go there."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from propagate.days import written
from propagate.paper.csvfiles import Cell as CsvCell
from propagate.paper.listings import (
    BARE,
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
from propagate.records.worksheets import BedPlan, Planted, PlantingList, ToPlant

COLUMNS = (
    Column("Done", "tick", 9),
    Column("Batch", "code", 18),
    Column("Plant, and what to type"),
    Column("From", "text", 31),
    Column("In the bed", "number", 13),
    Column("Can go", "number", 13),
    Column("Promised", "number", 15),
    Column("Planted", "box", 17),
)
CSV_HEADER = (
    "line", "bed", "wanted", "planted", "still_wanted", "batch", "plant", "common", "place",
    "from", "can_go", "promised", "type",
)  # fmt: skip
NO_BED = "For no bed yet"
NOTHING = "nothing is meant for it yet"


def render_planting_list(
    planting: PlantingList, folders: Sequence[Path], *, paper: str = "a4"
) -> Print:
    """Draw the list upright on A4 or US Letter."""
    parts = [_bed_part(bed) for bed in planting.beds]
    if planting.unplaced:
        rows = tuple(map(_to_plant, planting.unplaced))
        parts.append(Part(NO_BED, rows, total=_total(planting.unplaced)))
    listing = Listing(
        title="Planting out",
        subtitle=f"plants fit for a bed up to {written(planting.until)}",
        nursery=planting.nursery,
        as_of=planting.as_of,
        columns=COLUMNS,
        parts=tuple(parts),
        nothing="There is no bed in the settings, and nothing fit to plant.",
        footnotes=(
            "Can go: potted, hardening and ready plants, and rooted ones that need no pot."
            " Promised: spoken for, so they are not for a bed. A batch is listed under the bed"
            " that it is meant for, or where plants of its name stand and more are wanted.",
        ),
    )
    return render_listing(listing, folders, paper, CSV_HEADER, _table(planting))


def _bed_part(bed: BedPlan) -> Part:
    rows = (*map(_planted, bed.planted), *map(_to_plant, bed.to_plant))
    return Part(
        bed.bed or "In no named bed",
        rows,
        note=_bed_words(bed) if rows else "; ".join(filter(None, (_bed_words(bed), NOTHING))),
        total=_total(bed.to_plant, bed.filled) if len(rows) > 1 else (),
    )


def _bed_words(bed: BedPlan) -> str:
    said = [bed.note]
    if bed.wanted is not None:
        said.append(f"{bed.wanted} wanted, {bed.filled} planted, {bed.gap} to go")
    return "; ".join(filter(None, said))


def _planted(lot: Planted) -> Cells:
    about = lot.subject
    return (
        BARE,
        Cell(about.code),
        name_cell(about.name, about.common),
        Cell("planted", under=(written(lot.on),)),
        count_cell(lot.count),
        count_cell(0),
        count_cell(0),
        BARE,
    )


def _to_plant(line: ToPlant) -> Cells:
    about = line.subject
    return (
        Cell(),
        Cell(about.code),
        name_cell(about.name, about.common, about.cautions, typed=(line.typed,)),
        Cell(
            place_words(line.place),
            under=(f"from {written(line.from_day)}" if line.early else "can go now",),
        ),
        count_cell(0),
        count_cell(line.count),
        count_cell(line.promised),
        Cell(),
    )


def _total(lines: Sequence[ToPlant], filled: int = 0) -> Cells:
    return (
        Cell(), Cell(), Cell("together"), Cell(), count_cell(filled),
        count_cell(sum(line.count for line in lines)),
        count_cell(sum(line.promised for line in lines)), Cell(),
    )  # fmt: skip


def _table(planting: PlantingList) -> Iterator[tuple[CsvCell, ...]]:
    for bed in planting.beds:
        wanted: CsvCell = "" if bed.wanted is None else bed.wanted
        gap: CsvCell = "" if bed.gap is None else bed.gap
        for lot in bed.planted:
            about = lot.subject
            yield (
                "planted", bed.bed, "", lot.count, "", about.code, str(about.name), about.common,
                "", lot.on.isoformat(), "", "", "",
            )  # fmt: skip
        for line in bed.to_plant:
            yield _to_plant_row(bed.bed, line)
        yield (
            "bed",
            bed.bed,
            wanted,
            bed.filled,
            gap,
            "",
            "",
            "",
            "",
            "",
            *_sums(bed.to_plant),
            "",
        )
    for line in planting.unplaced:
        yield _to_plant_row("", line)
    yield ("no bed", "", "", "", "", "", "", "", "", "", *_sums(planting.unplaced), "")


def _to_plant_row(bed: str, line: ToPlant) -> tuple[CsvCell, ...]:
    about = line.subject
    return (
        "to plant", bed, "", "", "", about.code, str(about.name), about.common, line.place,
        line.from_day.isoformat(), line.count, line.promised, line.typed,
    )  # fmt: skip


def _sums(lines: Sequence[ToPlant]) -> tuple[int, int]:
    return sum(line.count for line in lines), sum(line.promised for line in lines)
