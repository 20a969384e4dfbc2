"""Drawings on paper: one a page, with the figures behind them as a table, or alone as a picture."""

import datetime as dt
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from attrs import frozen

from propagate.errors import Refused
from propagate.paper.csvfiles import Cell
from propagate.paper.drawing import Drawing
from propagate.paper.files import replace_file
from propagate.paper.printing import Print, Written, write
from propagate.paper.templates import fill


@frozen
class PaperSize:
    """A sheet as it is looked at, and its margins on all sides [mm]."""

    width_mm: float
    height_mm: float
    margin_mm: float = 12.0

    @property
    def room_mm(self) -> tuple[float, float]:
        """Width and height for a drawing; one exactly as high might slip to the next page."""
        return self.width_mm - 2 * self.margin_mm, self.height_mm - 2 * self.margin_mm - 1


_UPRIGHT_MM: Final = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def paper_size(what: str, paper: str, *, lying: bool = False, margin_mm: float = 12.0) -> PaperSize:
    """A sheet of A4 or US Letter ("a4", "letter"), in landscape when `lying`.

    Raises Refused for another paper, saying `what` comes on which.
    """
    if paper not in _UPRIGHT_MM:
        raise Refused(f'{what} on {" or ".join(_UPRIGHT_MM)} paper, not on "{paper}".')
    short, long = _UPRIGHT_MM[paper]
    return PaperSize(*((long, short) if lying else (short, long)), margin_mm)


def render_pages(
    drawings: Sequence[Drawing],
    title: str,
    as_of: dt.date,
    folders: Sequence[Path],
    paper: PaperSize,
    header: Sequence[str],
    rows: Sequence[Sequence[Cell]],
) -> Print:
    """A page for each drawing, which fits into the room of the paper."""
    html = fill("pages.html", folders, drawings=drawings, title=title, as_of=as_of, paper=paper)
    return Print(html=html, header=tuple(header), rows=tuple(tuple(row) for row in rows))


def picture(drawing: Drawing, folders: Sequence[Path]) -> str:
    """A drawing as SVG that needs nothing around it."""
    return fill("drawing.svg", folders, drawing=drawing)


def write_drawn(path: Path, svg: Callable[[], str], printed: Callable[[], Print]) -> Written:
    """Write what is drawn as .svg, .pdf, .html or .csv, by the ending of the file's name.

    Raises Refused for another ending, or when the file cannot be written.
    """
    suffix = path.suffix.lower()
    if suffix == ".svg":
        return Written(replace_file(path, svg().encode()))
    if suffix not in (".pdf", ".html", ".csv"):
        raise Refused(f'"{path.name}" should end in .svg, .pdf, .html or .csv.')
    return write(printed(), path)
