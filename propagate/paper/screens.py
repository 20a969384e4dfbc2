"""A fan for a small screen: letters large enough on a phone, the numbers beside it in a table."""

from collections.abc import Sequence
from pathlib import Path

from propagate.paper.drawing import Drawing, plain
from propagate.paper.fanparts import (
    LABEL_MM,
    axis_mm,
    bands,
    days_axis,
    frame_of,
    grid,
    lines,
    mark_of,
    plants_axis,
    potted_ground,
)
from propagate.paper.templates import fill
from propagate.records.fans import Fan


def screen_fan_svg(
    fan: Fan, folders: Sequence[Path], *, width_mm: float = 90, height_mm: float = 74
) -> str:
    """The fan as a picture whose 90 mm fill a phone's width, with axes and no other words."""
    return fill("fan.svg", folders, drawing=draw_screen(fan, width_mm, height_mm))


def draw_screen(fan: Fan, width_mm: float, height_mm: float) -> Drawing:
    """Shapes, dots and axes; what they say in numbers is the page's table."""
    frame = frame_of(fan, (axis_mm(fan), width_mm - 2), (8.0, height_mm - 10))
    shapes = [*grid(frame), *potted_ground(fan, frame), *bands(fan, frame), *lines(fan, frame)]
    words = plain(f"{fan.steps[-1].started} started", (width_mm - 2, 6.2), LABEL_MM, anchor="end")
    return Drawing(
        width_mm=width_mm,
        height_mm=height_mm,
        title=f"{fan.plant}: {fan.title}",
        shapes=tuple(shapes),
        dots=tuple(mark_of(dot, frame) for dot in fan.dots),
        texts=(*plants_axis(frame), *days_axis(frame), words),
    )
