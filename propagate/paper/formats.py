"""Label formats: the sheet, the label on it and the boxes on the label, all in millimetres."""

from typing import Final, Literal

from attrs import evolve, frozen

from propagate.units import mm_from_points

BOX_NAMES: Final = (
    "heading", "code", "facts", "task", "dates", "qr", "tray", "caution", "nursery",
)  # fmt: skip
ROUNDING_MM: Final = 0.01

READ_ANGLE: Final = 1 / 200
"""Height of capitals over the distance they are read from: the rule of 1/200 in guidance for
road and cockpit displays (FAA, as cited in human-factors handbooks); AS 1319 asks the same
5 mm a metre in good light. ISO 9241-3 takes 20 to 22 minutes of arc, 1/172 to 1/156."""

CAPITAL_EM: Final = 0.729  # height of capitals in DejaVu Sans (its OS/2 table)

MarkKind = Literal["hole", "slit", "fold"]
Point = tuple[float, float]


@frozen
class Page:
    """The sheet of paper [mm]."""

    width_mm: float
    height_mm: float


PAPERS: Final = {"a4": Page(210.0, 297.0), "letter": Page(215.9, 279.4)}
"""ISO 216 A4, and US Letter of 8.5 by 11 inches."""

PAGE_IS_LABEL: Final = "label"
"""What a format says in place of a paper when every label is a page, as on a roll."""


@frozen
class Grid:
    """How the labels lie on the page: how many, the first one's corner, the gaps between [mm]."""

    columns: int = 1
    rows: int = 1
    left_mm: float = 0.0
    top_mm: float = 0.0
    gap_x_mm: float = 0.0
    gap_y_mm: float = 0.0


@frozen
class LabelSize:
    """One label [mm]; `padding_mm` stays white all round.

    `buried_mm` counts from the foot and is kept free of print. `rule_mm` is the height of the
    hairline above the dates, 0 for none. `mirrored` prints all boxes a second time, turned half
    round about the middle, so that a tag folded there reads the right way up on both faces.
    """

    width_mm: float
    height_mm: float
    padding_mm: float = 2.0
    buried_mm: float = 0.0
    rule_mm: float = 0.0
    mirrored: bool = False


@frozen
class Box:
    """A place for one thing on the label [mm from its upper left corner], and type sizes [pt].

    In a turned box the lines run from top to bottom. With `at_foot`, lines that do not fill the
    box stand at its foot, so that neighbours of different size share a base line.
    """

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float
    max_pt: float = 10.0
    min_pt: float = 6.0
    turned: bool = False
    at_foot: bool = False
    centred: bool = False

    @property
    def right_mm(self) -> float:
        """Right edge [mm]."""
        return self.left_mm + self.width_mm

    @property
    def foot_mm(self) -> float:
        """Lower edge [mm]."""
        return self.top_mm + self.height_mm

    @property
    def text_area_mm(self) -> tuple[float, float]:
        """Room along the lines and across them [mm]."""
        area = (self.width_mm, self.height_mm)
        return area[::-1] if self.turned else area

    def overlaps(self, other: "Box") -> bool:
        """Whether the two boxes share an area, rounding aside."""
        return (
            min(self.right_mm, other.right_mm) - max(self.left_mm, other.left_mm) > ROUNDING_MM
            and min(self.foot_mm, other.foot_mm) - max(self.top_mm, other.top_mm) > ROUNDING_MM
        )


@frozen
class Mark:
    """A line or hole drawn on the label [mm]: where to punch, slit or fold it.

    A hole is a circle of `size_mm` about its point; the others run from point to point.
    """

    kind: MarkKind
    x_mm: float
    y_mm: float
    to_x_mm: float = 0.0
    to_y_mm: float = 0.0
    size_mm: float = 5.0

    @property
    def box(self) -> Box:
        """The area that it takes."""
        if self.kind == "hole":
            half = self.size_mm / 2
            return Box(self.x_mm - half, self.y_mm - half, self.size_mm, self.size_mm)
        left, top = min(self.x_mm, self.to_x_mm), min(self.y_mm, self.to_y_mm)
        across, down = abs(self.to_x_mm - self.x_mm), abs(self.to_y_mm - self.y_mm)
        return Box(left, top, max(across, 0.1), max(down, 0.1))


@frozen
class LabelFormat:
    """A whole format: its name, the template that draws it, and the geometry.

    `outline` is the line to cut along, empty for stock that is cut already. `read_at_m` is the
    distance from which the name is to be read.
    """

    name: str
    title: str
    template: str
    page: Page
    grid: Grid
    label: LabelSize
    boxes: dict[str, Box]
    marks: tuple[Mark, ...] = ()
    outline: tuple[Point, ...] = ()
    read_at_m: float = 0.6

    @property
    def per_page(self) -> int:
        """Labels on one sheet."""
        return self.grid.columns * self.grid.rows

    @property
    def is_roll(self) -> bool:
        """Whether every label is a page of its own."""
        return (self.page.width_mm, self.page.height_mm) == (
            self.label.width_mm,
            self.label.height_mm,
        )

    @property
    def comes(self) -> str:
        """How many come on what, in words."""
        if self.is_roll:
            return "one a page, for rolls"
        named = {"a4": "A4", "letter": "Letter"}
        paper = next((named[key] for key, page in PAPERS.items() if page == self.page), "")
        return f"{self.per_page} on {paper or f'{self.page.width_mm:g} x {self.page.height_mm:g}'}"

    @property
    def legible_pt(self) -> float:
        """Smallest type [pt] that is read at the format's distance."""
        return legible_pt(self.read_at_m)

    def without_code(self) -> "LabelFormat":
        """The same for what has no code, a bed: facts beside the code take its place too."""
        code, facts = self.boxes.get("code"), self.boxes.get("facts")
        if code is None or facts is None or code.turned or facts.turned:
            return self
        beside = code.right_mm <= facts.left_mm and code.top_mm < facts.foot_mm
        if not beside or facts.top_mm >= code.foot_mm:
            return self
        wider = evolve(facts, left_mm=code.left_mm, width_mm=facts.right_mm - code.left_mm)
        return evolve(self, boxes={**self.boxes, "facts": wider})

    @property
    def pitch_mm(self) -> tuple[float, float]:
        """From one label's corner to the next one's, across and down [mm]."""
        return (
            self.label.width_mm + self.grid.gap_x_mm,
            self.label.height_mm + self.grid.gap_y_mm,
        )

    def corner_mm(self, position: int, *, back: bool = False) -> tuple[float, float]:
        """Left and top [mm] of the label at a position counted from 0 along the rows.

        On the back of the sheet, turned over about its long edge, the columns run the other way.
        """
        row, column = divmod(position, self.grid.columns)
        across, down = self.pitch_mm
        left = self.grid.left_mm + column * across
        if back:
            left = self.page.width_mm - left - self.label.width_mm
        return left, self.grid.top_mm + row * down


def legible_pt(distance_m: float) -> float:
    """Type size [pt] whose capitals are read at a distance [m], by `READ_ANGLE`."""
    capitals_mm = distance_m * 1000 * READ_ANGLE
    return capitals_mm / CAPITAL_EM / mm_from_points(1)
