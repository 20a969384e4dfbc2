"""A list on paper: a title, parts with their headings, columns to read and boxes to fill in.

Every sheet but the stock sheet is one; each has its columns and cells made by a module of its
own, and this one sets them.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final, Literal

from attrs import frozen

from propagate.days import written
from propagate.names import PlantName
from propagate.paper.csvfiles import Cell as CsvCell
from propagate.paper.fitting import Run
from propagate.paper.lettering import name_runs
from propagate.paper.pages import paper_size
from propagate.paper.printing import Print
from propagate.paper.templates import fill

Look = Literal["code", "name", "text", "number", "tick", "box"]
"""How a column is set; a tick is a square to tick, a box one to write in."""


@frozen
class Column:
    """One column; `width_mm` 0 takes what the others leave."""

    heading: str
    look: Look = "text"
    width_mm: float = 0.0


@frozen
class Cell:
    """What stands in one place: words, or the runs of a plant's name, and lines under them.

    `typed` are commands, set in a face in which every sign can be told apart; `bare` leaves
    out the square or box that its column has. A `mark` after a name points to a footnote.
    """

    words: str = ""
    name: tuple[Run, ...] = ()
    mark: str = ""
    beside: str = ""
    under: tuple[str, ...] = ()
    care: str = ""
    typed: tuple[str, ...] = ()
    strong: bool = False
    bare: bool = False


Cells = tuple[Cell, ...]


@frozen
class Part:
    """Rows under one heading, with a total where they have one; without rows, its note alone."""

    heading: str
    rows: tuple[Cells, ...]
    note: str = ""
    total: Cells = ()


@frozen
class Listing:
    """The whole list. With `apart` every part begins a page, to be hung up where it belongs.

    `nothing` is what it says when there is nothing to list.
    """

    title: str
    nursery: str
    as_of: dt.date
    columns: tuple[Column, ...]
    parts: tuple[Part, ...]
    footnotes: tuple[str, ...] = ()
    subtitle: str = ""
    nothing: str = ""
    apart: bool = False
    lying: bool = False
    roomy: bool = False


def render_listing(
    listing: Listing,
    folders: Sequence[Path],
    paper: str,
    header: tuple[str, ...],
    rows: Iterable[tuple[CsvCell, ...]],
) -> Print:
    """Set a list on A4 or US Letter ("a4", "letter"); `header` and `rows` are its table.

    Raises Refused for another paper.
    """
    html = fill(
        "listing.html",
        folders,
        listing=listing,
        paper=paper_size("A sheet comes", paper, lying=listing.lying),
        as_of=written(listing.as_of),
        pages=[[part] for part in listing.parts]
        if listing.apart and listing.parts
        else [listing.parts],
    )
    return Print(html=html, header=header, rows=tuple(rows))


def name_cell(name: PlantName, common: str, cautions: Sequence[str] = (), **more: object) -> Cell:
    """A plant's name, its common name beside it and what to mind under it."""
    care = f"Care: {' · '.join(cautions)}" if cautions else ""
    return Cell(name=tuple(name_runs(name)), beside=common, care=care, **more)  # type: ignore[arg-type]


BARE: Final = Cell(bare=True)
"""A place where nothing is to be ticked or written."""


def count_cell(number: int, *, strong: bool = False) -> Cell:
    """A number, where a dot is quieter than a zero."""
    return Cell(str(number) if number else "·", strong=strong)


def place_words(place: str) -> str:
    """A place, or what to call it where none is known."""
    return place or "no place given"
