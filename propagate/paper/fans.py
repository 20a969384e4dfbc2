"""A fan on paper and on the web: what was found, what will come, drawn in black on white.

fan -> a frame of days and plants -> shapes, dots and texts [mm] -> SVG, page or sheet's corner
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from propagate.days import written
from propagate.paper.csvfiles import Cell
from propagate.paper.drawing import Drawing, Text, fitted, plain
from propagate.paper.fandots import dot_texts, mark_of
from propagate.paper.fanparts import (
    LANE_MM,
    SMALL_MM,
    axis_mm,
    bands,
    days_axis,
    draw_lanes,
    end_bar,
    end_mm,
    frame_of,
    grid,
    lanes_of,
    line_texts,
    lines,
    plants_axis,
    potted_ground,
)
from propagate.paper.fitting import fit, words_of
from propagate.paper.lettering import name_runs
from propagate.paper.pages import paper_size, picture, render_pages, write_drawn
from propagate.paper.printing import Print, Written
from propagate.records.answers import PlantCount
from propagate.records.fans import Fan, FanWeek
from propagate.units import mm_from_points

NAME_MM: Final = 9.0  # height of the plant's name
NAME_PT: Final = (20.0, 6.0)  # its largest and its smallest type
CSV_HEADER: Final = ("day", "q05", "q10", "q25", "q50", "q75", "q90", "q95", "mean")


def render_fan(fan: Fan, folders: Sequence[Path], paper: str = "a4") -> Print:
    """Draw a fan on one page in landscape, on A4 or US Letter ("a4", "letter").

    The same figures as a table, a row a week, go with it. Raises Refused for another paper.
    """
    size = paper_size("A fan comes", paper, lying=True)
    drawing = draw_fan(fan, *size.room_mm)
    rows = [_csv_row(week) for week in fan.weeks]
    return render_pages([drawing], drawing.title, fan.as_of, folders, size, CSV_HEADER, rows)


def _csv_row(week: FanWeek) -> tuple[Cell, ...]:
    return (week.date.isoformat(), *week.quantiles.values(), round(week.mean, 2))


def fan_svg(
    fan: Fan, folders: Sequence[Path], *, width_mm: float = 240, height_mm: float = 150
) -> str:
    """The fan as a picture that needs nothing around it."""
    return picture(draw_fan(fan, width_mm, height_mm), folders)


def small_fan_svg(
    fan: Fan, folders: Sequence[Path], *, width_mm: float = 60, height_mm: float = 12
) -> str:
    """The fan as small as a line of a sheet: bands, likely number, checks, the end in figures."""
    return picture(draw_small(fan, width_mm, height_mm), folders)


def write_fan(fan: Fan, folders: Sequence[Path], path: Path, paper: str = "a4") -> Written:
    """Write a fan as .svg, .pdf, .html or .csv, by the ending of the file's name.

    Raises Refused for another ending, or when the file cannot be written.
    """
    return write_drawn(path, lambda: fan_svg(fan, folders), lambda: render_fan(fan, folders, paper))


def draw_fan(fan: Fan, width_mm: float, height_mm: float) -> Drawing:
    """All shapes and texts of the whole picture [mm], at least 150 wide and 110 high."""
    lanes = lanes_of(fan)
    bottom = height_mm - 16 - LANE_MM * len(lanes)
    frame = frame_of(fan, (axis_mm(fan), width_mm - end_mm(fan)), (31.0, bottom))
    texts = [*_heading(fan, width_mm), *plants_axis(frame), *days_axis(frame)]
    named = list(line_texts(fan, frame))
    shapes = [*grid(frame), *potted_ground(fan, frame), *bands(fan, frame), *lines(fan, frame)]
    dots = [mark_of(dot, frame) for dot in fan.dots]
    texts += [*named, *dot_texts(fan, frame, dots, named)]
    end_shapes, end_texts = end_bar(fan, frame)
    lane_shapes, lane_texts = draw_lanes(lanes, frame, width_mm)
    texts += [*end_texts, *lane_texts, _how_to_read(fan, width_mm, height_mm)]
    return Drawing(
        width_mm=width_mm,
        height_mm=height_mm,
        title=f"{fan.plant}: {fan.title}",
        shapes=(*shapes, *end_shapes, *lane_shapes),
        dots=tuple(dots),
        texts=tuple(texts),
    )


HOW_TO_READ: Final = (
    "The thick line is the likely number. The darkest band holds the truth half of the time,"
    " all grey together 9 times in 10."
)


def _how_to_read(fan: Fan, width_mm: float, height_mm: float) -> Text:
    words = f"{HOW_TO_READ} Dots are your checks." if fan.dots else HOW_TO_READ
    return fitted(words, (0, height_mm - 1.2), SMALL_MM, room_mm=width_mm)


def draw_small(fan: Fan, width_mm: float, height_mm: float) -> Drawing:
    """The same without words: bands, lines and dots, and low – likely – high at the right."""
    count = fan.plants
    figures = str(count.likely) if count.low == count.high else f"{count.low}–{count.high}"
    size = min(2.6, height_mm / 4.6)
    right = width_mm - 13.0
    frame = frame_of(fan, (0.6, right), (0.9, height_mm - 0.6))
    shapes = [*bands(fan, frame, fine=0.5), *lines(fan, frame, fine=0.5)]
    middle = height_mm / 2
    texts = [plain(str(count.likely), (right + 1, middle), size * 1.5, bold=True)]
    if count.low != count.high:
        texts.append(plain(figures, (right + 1, middle + size * 1.35), size))
    return Drawing(
        width_mm=width_mm,
        height_mm=height_mm,
        title=f"{fan.plant}: {fan.title}",
        shapes=tuple(shapes),
        dots=tuple(mark_of(dot, frame, 0.6) for dot in fan.dots),
        texts=tuple(texts),
    )


def _heading(fan: Fan, width_mm: float) -> Iterable[Text]:
    """The plant's name as large as it goes, what it is, and the answer."""
    words = words_of(name_runs(fan.plant))
    name = fit(words, (width_mm, NAME_MM), NAME_PT) or fit(words, (width_mm, 9e9), NAME_PT)[:3]
    top = NAME_MM - sum(line.height_mm for line in name)
    for line in name:
        top += line.height_mm
        yield Text(line.runs, 0, top - 0.25 * line.height_mm, mm_from_points(line.size_pt))
    yield fitted(fan.title, (0, 13.6), 3.8, room_mm=width_mm)
    yield fitted(_answer_words(fan.plants, fan.by), (0, 20.4), 4.2, room_mm=width_mm, bold=True)


def _answer_words(count: PlantCount, by: dt.date | None) -> str:
    when = f"by {written(by)}" if by else "in the end"
    plants = "plant" if count.likely == 1 else "plants"
    if count.low == count.high:
        return f"{count.likely} {plants} {when}"
    times = f"{count.chance * 10:.2g} times in 10"
    return f"{count.likely} {plants} likely {when} ({count.low} to {count.high}, {times})"
