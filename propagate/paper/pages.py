"""Pages in landscape with one drawing each, and the figures behind them as a table."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from propagate.paper.csvfiles import Cell
from propagate.paper.drawing import Drawing
from propagate.paper.printing import Print
from propagate.paper.templates import fill

MARGIN_MM: Final = 12.0
PAPERS: Final = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
"""Sheets in landscape, width and height [mm]."""


def render_pages(
    drawings: Sequence[Drawing],
    as_of: dt.date,
    folders: Sequence[Path],
    paper: str,
    header: Sequence[str],
    rows: Sequence[Sequence[Cell]],
) -> Print:
    """A page for each drawing, which is as wide as the paper less its margins."""
    width, height = PAPERS[paper]
    html = fill(
        "pages.html",
        folders,
        drawings=drawings,
        as_of=as_of,
        paper={"width_mm": width, "height_mm": height},
        margin_mm=MARGIN_MM,
    )
    return Print(html=html, header=tuple(header), rows=tuple(tuple(row) for row in rows))
