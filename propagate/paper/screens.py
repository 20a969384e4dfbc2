"""A fan for a small screen: letters large enough on a phone, the numbers beside it in a table."""

from collections.abc import Sequence
from pathlib import Path

from attrs import evolve

from propagate.paper.drawing import Drawing
from propagate.paper.fandots import mark_of
from propagate.paper.fanparts import (
    MonthNames,
    axis_mm,
    bands,
    days_axis,
    english_month,
    frame_of,
    grid,
    lines,
    plants_axis,
    potted_ground,
)
from propagate.paper.pages import picture
from propagate.records.fans import Fan


def screen_fan_svg(
    fan: Fan,
    folders: Sequence[Path],
    *,
    title: str = "",
    month: MonthNames = english_month,
    width_mm: float = 90,
    height_mm: float = 70,
) -> str:
    """The fan as a picture whose 90 mm fill a phone's width, with axes and no other words.

    `title` is what it is called aloud, and `month` names the months of the axis.
    """
    drawing = draw_screen(fan, width_mm, height_mm, month)
    named = evolve(drawing, title=title) if title else drawing
    return picture(named, folders)


def draw_screen(
    fan: Fan, width_mm: float, height_mm: float, month: MonthNames = english_month
) -> Drawing:
    """Shapes, dots and axes; what they say in numbers is the page's table."""
    frame = frame_of(fan, (axis_mm(fan), width_mm - 2), (4.0, height_mm - 10))
    shapes = [*grid(frame), *potted_ground(fan, frame), *bands(fan, frame), *lines(fan, frame)]
    return Drawing(
        width_mm=width_mm,
        height_mm=height_mm,
        title=f"{fan.plant}: {fan.title}",
        shapes=tuple(shapes),
        dots=tuple(mark_of(dot, frame) for dot in fan.dots),
        texts=(*plants_axis(frame), *days_axis(frame, month)),
    )
