"""Where batches are from and where their plants went, on paper and as a table.

This is the grower's own record. It is no document that plant health asks for, and it is not
laid out like one: only an authorised grower may issue that.
"""

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
    render_listing,
)
from propagate.paper.printing import Print
from propagate.records.rights import FOR_SALE, PROTECTED, sentence
from propagate.records.worksheets import Departure, Origin, OriginBook

COLUMNS = (
    Column("Batch", "code", 18),
    Column("Plant", "name"),
    Column("Came from", "text", 36),
    Column("Stood", "text", 47),
    Column("Went to", "text", 52),
    Column("Started", "number", 15),
    Column("Here", "number", 15),
    Column("Gone", "number", 14),
    Column("Lost", "number", 12),
)
CSV_HEADER = (
    "line", "batch", "plant", "common", "method", "started_on", "started", "mother",
    "raised_from", "source", "places", "here", "gone", "lost", "miscounted", "for_sale",
    "protected", "date", "count", "how", "to",
)  # fmt: skip
PREPOSITIONS = {"given": "to", "planted": "in"}


def render_origins(book: OriginBook, folders: Sequence[Path], *, paper: str = "a4") -> Print:
    """Draw the list in landscape on A4 or US Letter."""
    rows = tuple(map(_line, book.origins))
    total = (Cell(), Cell("All plants"), Cell(), Cell(), Cell(), *map(count_cell, _sums(book)))
    listing = Listing(
        title="Where plants came from and went",
        nursery=book.nursery,
        as_of=book.as_of,
        columns=COLUMNS,
        parts=(Part("", rows, total=total),) if rows else (),
        nothing="There is no batch in the book yet.",
        footnotes=tuple(_footnotes(book)),
        lying=True,
    )
    return render_listing(listing, folders, paper, CSV_HEADER, _table(book))


def _footnotes(book: OriginBook) -> Iterator[str]:
    yield (
        "The grower's own record. Where plants must be traced by law, the plant-health authority"
        " says what has to be kept, for how long, and in which form."
    )
    if any(origin.for_sale for origin in book.origins):
        yield f"For sale: {FOR_SALE}."
    if any(origin.protected for origin in book.origins):
        yield f"† {sentence(PROTECTED)}"


def _line(origin: Origin) -> Cells:
    about = origin.subject
    sale = (f"{origin.for_sale} for sale",) if origin.for_sale else ()
    mark = "†" if origin.protected else ""
    batch = f"raised from batch {origin.raised_from}" if origin.raised_from else ""
    return (
        Cell(about.code),
        name_cell(
            about.name,
            about.common,
            mark=mark,
            under=(f"{origin.method}, {written(origin.started)}", *sale),
        ),
        Cell(origin.mother, under=tuple(filter(None, (batch, origin.source)))),
        Cell(under=tuple(f"{place}, from {written(on)}" for on, place in origin.stood)),
        Cell(under=tuple(map(_departed, origin.departures))),
        *map(count_cell, (origin.count, origin.here, origin.gone, origin.lost)),
    )


def _departed(each: Departure) -> str:
    where = f" {PREPOSITIONS[each.how]} {each.to}" if each.to else ""
    return f"{each.count} {each.how}{where}, {written(each.on)}"


def _sums(book: OriginBook) -> tuple[int, int, int, int]:
    origins = book.origins
    return (
        sum(origin.count for origin in origins),
        sum(origin.here for origin in origins),
        sum(origin.gone for origin in origins),
        sum(origin.lost for origin in origins),
    )


def _table(book: OriginBook) -> Iterator[tuple[CsvCell, ...]]:
    for origin in book.origins:
        about = origin.subject
        who = (about.code, str(about.name), about.common)
        places = "; ".join(f"{place} from {on.isoformat()}" for on, place in origin.stood)
        yield (
            "batch", *who, origin.method, origin.started.isoformat(), origin.count,
            origin.mother, origin.raised_from, origin.source, places, origin.here, origin.gone,
            origin.lost, origin.miscounted, origin.for_sale,
            "yes" if origin.protected else "no", *("",) * 4,
        )  # fmt: skip
        for each in origin.departures:
            yield ("out", *who, *("",) * 13, each.on.isoformat(), each.count, each.how, each.to)
    started, here, gone, lost = _sums(book)
    miscounted = sum(origin.miscounted for origin in book.origins)
    sale = sum(origin.for_sale for origin in book.origins)
    yield (
        "all", *("",) * 5, started, *("",) * 4, here, gone, lost, miscounted, sale, *("",) * 5,
    )  # fmt: skip
