"""What a drawing is made of, all in mm: a frame of days and plants, shapes, marks and texts."""

import datetime as dt
from collections.abc import Sequence
from typing import Final

from attrs import frozen

from propagate.paper.fitting import Run
from propagate.paper.strips import Scale
from propagate.paper.widths import width_em

Point = tuple[float, float]

MOST_TICKS: Final = 6


@frozen
class Shape:
    """A path of SVG; `what` says what it stands for."""

    what: str
    path: str
    fill: str = "none"
    line_mm: float = 0.0
    stroke: str = "black"
    dash: str = ""


@frozen
class Mark:
    """A round mark."""

    what: str
    x_mm: float
    y_mm: float
    radius_mm: float
    fill: str = "black"
    stroke: str = "white"
    line_mm: float = 0.4


@frozen
class Text:
    """One line of text from (or up to, or around) a point on its base line."""

    runs: tuple[Run, ...]
    x_mm: float
    y_mm: float
    size_mm: float
    anchor: str = "start"
    bold: bool = False

    @property
    def box(self) -> "Box":
        """The paper it takes, rather too much than too little."""
        width = sum(width_em(run.text, bold=self.bold) for run in self.runs) * self.size_mm
        left = self.x_mm - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        return Box(left, self.y_mm - 0.78 * self.size_mm, width, 1.0 * self.size_mm)


@frozen
class Box:
    """A piece of paper: its upper left corner, width and height."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    def overlap_mm2(self, other: "Box") -> float:
        """The area that two boxes have in common."""
        wide = min(self.x_mm + self.width_mm, other.x_mm + other.width_mm)
        high = min(self.y_mm + self.height_mm, other.y_mm + other.height_mm)
        return max(0.0, wide - max(self.x_mm, other.x_mm)) * max(
            0.0, high - max(self.y_mm, other.y_mm)
        )


@frozen
class Drawing:
    """A whole picture; shapes are drawn first, then marks, then texts."""

    width_mm: float
    height_mm: float
    title: str
    shapes: tuple[Shape, ...]
    dots: tuple[Mark, ...]
    texts: tuple[Text, ...]


@frozen
class Frame:
    """Days from left to right, plants from the bottom up to `most_plants` at the top."""

    scale: Scale
    left_mm: float
    top_mm: float
    bottom_mm: float
    most_plants: float

    @property
    def right_mm(self) -> float:
        """The right edge."""
        return self.left_mm + self.scale.width_mm

    def x_mm(self, day: dt.date) -> float:
        """Where a day lies; days outside stand at the edges."""
        return self.left_mm + self.scale.x_mm(day)

    def y_mm(self, plants: float) -> float:
        """How high a number of plants lies, counted from the top of the page."""
        part = min(max(plants / self.most_plants, 0.0), 1.0)
        return self.bottom_mm - part * (self.bottom_mm - self.top_mm)

    def point(self, day: dt.date, plants: float) -> Point:
        """Where a number of plants on a day lies."""
        return self.x_mm(day), self.y_mm(plants)


def plain(
    words: str, at: Point, size_mm: float, *, anchor: str = "start", bold: bool = False
) -> Text:
    """A line of upright text."""
    return Text((Run(words),), at[0], at[1], size_mm, anchor, bold)


def fitted(words: str, at: Point, size_mm: float, *, room_mm: float, bold: bool = False) -> Text:
    """The same, made smaller where it would take more room than there is."""
    return plain(words, at, min(size_mm, room_mm / width_em(words, bold=bold)), bold=bold)


def line_path(points: Sequence[Point]) -> str:
    """Straight lines from point to point."""
    return "M" + "L".join(f"{x:.3f} {y:.3f}" for x, y in points)


def step_path(steps: Sequence[tuple[dt.date, int]], until: dt.date, frame: Frame) -> str:
    """A number that holds from each day to the next, and from the last to `until`."""
    x, y = frame.point(*steps[0])
    path = f"M{x:.3f} {y:.3f}"
    for day, plants in steps[1:]:
        path += f"H{frame.x_mm(day):.3f}V{frame.y_mm(plants):.3f}"
    return f"{path}H{frame.x_mm(until):.3f}"


def whole_ticks(most: float) -> list[int]:
    """Even whole numbers from 0 up to `most`, of which people count in 1s, 2s, 5s, 10s."""
    step = 1
    factors = (2.0, 2.5, 2.0)  # 1, 2, 5, 10, 20, 50, ...
    at = 0
    while most / step > MOST_TICKS:
        step = round(step * factors[at % 3])
        at += 1
    return list(range(0, int(most) + 1, step))


def spread_apart(wanted: Sequence[float], gap: float, span: tuple[float, float]) -> list[float]:
    """Places in the order of `wanted`, at least `gap` apart, each near where it would be.

    They stay within the span as long as that has room for all of them.
    """
    places: list[float] = []
    for place in wanted:
        places.append(max(place, places[-1] + gap) if places else max(place, span[0]))
    limit = span[1]
    for at in range(len(places) - 1, -1, -1):
        places[at] = min(places[at], limit)
        limit = places[at] - gap
    return places


def free_spot(choices: Sequence[Text], taken: Sequence[Box]) -> Text:
    """The first of some places for a text that covers nothing, else the one that covers least."""

    def covered(text: Text) -> float:
        return sum(text.box.overlap_mm2(other) for other in taken)

    return min(choices, key=covered)  # min keeps the first of equals
