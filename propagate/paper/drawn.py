"""Labels ready to be drawn: every line, square and mark with its place on the sheet [mm]."""

from attrs import Factory, frozen

from propagate.paper.fitting import Line
from propagate.paper.formats import LabelFormat, Point
from propagate.paper.qr import QrDrawing

Stroke = tuple[float, float, float, float]
"""A straight line from one point to another [mm]."""


@frozen
class Block:
    """Lines of one box that share a type size [pt]; left and top [mm] are where they begin.

    `room_mm` is the length of line in which centred ones are set.
    """

    name: str
    turned: bool
    centred: bool
    left_mm: float
    top_mm: float
    room_mm: float
    size_pt: float
    lines: tuple[Line, ...]


@frozen
class QrPlace:
    """A QR square [mm], quiet zone included, and the text in it."""

    drawing: QrDrawing
    text: str
    left_mm: float
    top_mm: float
    side_mm: float


@frozen
class DrawnLabel:
    """What one label shows, measured from its own corner."""

    title: str
    blocks: tuple[Block, ...]
    qr: QrPlace | None
    ruled: bool


@frozen
class PlacedLabel:
    """A label and where its corner lies on the sheet."""

    left_mm: float
    top_mm: float
    drawn: DrawnLabel


@frozen
class Shift:
    """How a sheet is drawn so that it comes out of this printer where it is planned.

    A point x is drawn at `move_mm` + `scale` x, across and down.
    """

    scale_x: float = 1.0
    scale_y: float = 1.0
    move_x_mm: float = 0.0
    move_y_mm: float = 0.0


@frozen
class DrawnSheets:
    """A whole print of labels: sheet by sheet, the front of each before its back."""

    title: str
    format: LabelFormat
    sheets: tuple[tuple[PlacedLabel, ...], ...]
    crops: tuple[Stroke, ...] = ()
    shift: Shift = Factory(Shift)

    @property
    def outline(self) -> tuple[Point, ...]:
        """Where each label is cut out."""
        return self.format.outline
