"""A method card on one page, to pin above the bench."""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from attrs import frozen

from propagate.paper.pages import paper_size
from propagate.paper.printing import Print, page_count
from propagate.paper.templates import fill
from propagate.records.prints import MethodCard

BASE_PT: Final = (11.0, 10.0, 9.0, 8.0, 7.0, 6.2)
"""Type sizes to try, largest first, until the card fits one page."""

MONTHS: Final = "JFMAMJJASOND"


@frozen
class MonthBox:
    """One month of the year line; `taken` when material is taken then."""

    letter: str
    taken: bool


def render_card(
    card: MethodCard, months: Sequence[int], folders: Sequence[Path], *, paper: str = "a4"
) -> Print:
    """Draw a card at the largest type that keeps it on one page.

    `months` are those of its season, 1 to 12. Raises Refused for another paper than those known.
    """
    size = paper_size("A card comes", paper)
    boxes = [MonthBox(MONTHS[at], at + 1 in months) for at in range(12)]
    for base_pt in BASE_PT:
        html = fill("card.html", folders, card=card, months=boxes, paper=size, base_pt=base_pt)
        drawn = Print(html=html)
        if page_count(drawn) in (None, 1):
            break
    return drawn
