"""The rack: every label format on a few pages, each with an example on it."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from attrs import frozen

from propagate.names import parse
from propagate.paper.drawn import DrawnLabel
from propagate.paper.fitting import LEADING
from propagate.paper.formats import PAPERS, LabelFormat
from propagate.paper.labels import draw_label
from propagate.paper.printing import Print
from propagate.paper.saying import AnyLabel, say
from propagate.paper.templates import fill
from propagate.records.labels import BedLabel, BedPlants, MotherLabel
from propagate.records.prints import TrayLabel

_ROOM_MM: Final = (78.0, 40.0)  # for an example of a label
_A_PAGE: Final = 5
_SHEET_MM: Final = 34.0  # height of a page's sketch

_CURRANT: Final = "Ribes nigrum 'Alder Jet'"
_DAY: Final = dt.date(2026, 11, 8)
EXAMPLES: Final[dict[str, AnyLabel]] = {
    "tray": TrayLabel(
        code="M7KD",
        name=parse(_CURRANT),
        common="blackcurrant",
        method="hardwood cutting",
        started=_DAY,
        count=40,
        propagules="cuttings",
        qr_text="M7KD",
        stock_plant="jet-bush",
        tray="row A",
        pot_on_words="lift and pot on",
        early=dt.date(2027, 11, 5),
        likely=dt.date(2027, 11, 12),
        late=dt.date(2027, 11, 29),
    ),
    "mother": MotherLabel("jet-bush", parse(_CURRANT), "blackcurrant", _DAY, "south wall"),
    "bed": BedLabel("South hedge", (BedPlants(parse(_CURRANT), "blackcurrant", 12, _DAY),)),
}
"""What the labels of the overview say: a mother's and a bed's on their own kinds of label."""


@frozen
class RackCard:
    """One format on the overview: its example, and how much that and its page are reduced."""

    format: LabelFormat
    label: DrawnLabel
    scale: float
    page_scale: float
    corners_mm: tuple[tuple[float, float], ...]

    @property
    def outline(self) -> str:
        """The line to cut along, as SVG wants it."""
        return " ".join(f"{x:g},{y:g}" for x, y in self.format.outline)


def render_rack(formats: Sequence[LabelFormat], folders: Sequence[Path], paper: str) -> Print:
    """Draw every format with its example, its page and what it is, on A4 or Letter.

    Formats for the other paper are left out; they differ in the page alone.
    """
    others = [size for key, size in PAPERS.items() if key != paper]
    cards = [_card(one) for one in formats if one.page not in others]
    html = fill(
        "rack.html",
        folders,
        page=PAPERS[paper],
        pages=[cards[at : at + _A_PAGE] for at in range(0, len(cards), _A_PAGE)],
        leading=LEADING,
    )
    return Print(html=html)


def _card(label_format: LabelFormat) -> RackCard:
    kind = next((kind for kind in EXAMPLES if label_format.name.startswith(kind)), "tray")
    size = label_format.label
    scale = min(1.0, _ROOM_MM[0] / size.width_mm, _ROOM_MM[1] / size.height_mm)
    page = label_format.page
    return RackCard(
        format=label_format,
        label=draw_label(say(EXAMPLES[kind]), label_format),
        scale=scale,
        page_scale=_SHEET_MM / max(page.height_mm, page.width_mm),
        corners_mm=tuple(label_format.corner_mm(at) for at in range(label_format.per_page)),
    )
