"""The shopping list on one upright page, with boxes to tick."""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from propagate.days import written
from propagate.paper.pages import paper_size
from propagate.paper.printing import Print
from propagate.paper.templates import fill
from propagate.records.materials import Need, Shopping

HEADER: Final = ("item", "unit", "expected", "enough", "in_hand", "to_buy", "why", "basis")


def render_shopping(
    answer: Shopping, nursery: str, folders: Sequence[Path], paper: str = "a4"
) -> Print:
    """The list as a page; the same as a table goes with it. Refused for another paper."""
    size = paper_size("A shopping list comes", paper)
    time = f"{written(answer.as_of)} to {written(answer.until)}"
    html = fill("shopping.html", folders, answer=answer, nursery=nursery, time=time, paper=size)
    return Print(html=html, header=HEADER, rows=tuple(_row(need) for need in answer.needs))


def _row(need: Need) -> tuple[str | int | float, ...]:
    amounts = (round(need.expected, 1), round(need.enough, 1), need.in_hand, need.to_buy)
    return (need.item, need.unit, *amounts, need.why, need.basis)
