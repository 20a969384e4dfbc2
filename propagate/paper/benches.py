"""Bench space on paper and on the web: a strip of the year for each place, black on white."""

import datetime as dt
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from propagate.days import written
from propagate.errors import Refused
from propagate.paper.csvfiles import Cell
from propagate.paper.drawing import Drawing, Frame, Shape, Text, fitted, line_path, plain
from propagate.paper.fandots import LABEL_MM
from propagate.paper.fanparts import SMALL_MM, days_axis
from propagate.paper.pages import paper_size, picture, render_pages, write_drawn
from propagate.paper.printing import Print, Written
from propagate.paper.strips import Scale
from propagate.records.space import BenchSpace, PlaceSpace, SpaceWeek

AXIS_MM: Final = 14.0  # left of the strips, for their numbers
END_MM: Final = 4.0
HEAD_MM: Final = 20.0
PLACE_MM: Final = 36.0  # a strip with its heading
MONTHS_MM: Final = 9.0
FOOT_MM: Final = 6.0
A_PAGE: Final = 4
GREY: Final = "#9a9a9a"
CSV_HEADER: Final = ("place", "size_m2", "week", "expected_m2", "high_m2", "overfull")
HOW_TO_READ: Final = (
    "Grey is the bench that is expected to be taken; 9 times in 10 it is no more than the thin"
    " line. The broken line is all the bench there is."
)


def write_bench(
    answer: BenchSpace, folders: Sequence[Path], path: Path, paper: str = "a4"
) -> Written:
    """Write the strips as .svg, .pdf, .html, or their figures as .csv.

    Raises Refused for another ending, for no place, or when the file cannot be written.
    """
    if not answer.places:
        raise Refused(
            "Nothing stands on any bench in the coming year, so there is nothing to draw."
        )
    return write_drawn(
        path, lambda: bench_svg(answer, folders), lambda: render_bench(answer, folders, paper)
    )


def render_bench(answer: BenchSpace, folders: Sequence[Path], paper: str = "a4") -> Print:
    """Four places to a page in landscape; the figures as a table go with it."""
    size = paper_size("Bench space comes", paper, lying=True)
    chunks = [answer.places[at : at + A_PAGE] for at in range(0, len(answer.places), A_PAGE)]
    drawings = [draw_bench(BenchSpace(answer.as_of, chunk), size.room_mm[0]) for chunk in chunks]
    rows = tuple(row for space in answer.places for row in _csv_rows(space))
    title = drawings[0].title
    return render_pages(drawings, title, answer.as_of, folders, size, CSV_HEADER, rows)


def bench_svg(answer: BenchSpace, folders: Sequence[Path], *, width_mm: float = 240) -> str:
    """All places in one picture."""
    return picture(draw_bench(answer, width_mm), folders)


def _csv_rows(space: PlaceSpace) -> Iterable[tuple[Cell, ...]]:
    for week in space.weeks:
        chance = "" if week.overfull is None else f"{week.overfull:.3f}"
        size = "" if space.size_m2 is None else f"{space.size_m2:g}"
        figures = (f"{week.expected_m2:.2f}", f"{week.high_m2:.2f}", chance)
        yield (space.place, size, week.date.isoformat(), *figures)


def draw_bench(answer: BenchSpace, width_mm: float) -> Drawing:
    """One strip under the other, as high as they need to be."""
    height = HEAD_MM + PLACE_MM * len(answer.places) + MONTHS_MM + FOOT_MM
    shapes: list[Shape] = []
    texts = list(_heading(answer, width_mm))
    for number, space in enumerate(answer.places):
        frame = _frame(space, width_mm, HEAD_MM + PLACE_MM * number)
        shapes += _strip(space, frame)
        texts += _words(space, frame)
        if number == len(answer.places) - 1:
            texts += days_axis(frame)
    texts.append(fitted(HOW_TO_READ, (0, height - 1.2), SMALL_MM, room_mm=width_mm))
    return Drawing(width_mm, height, "Bench space", tuple(shapes), (), tuple(texts))


def _heading(answer: BenchSpace, width_mm: float) -> Iterable[Text]:
    yield plain("Bench space", (0, 6.5), 7.0, bold=True)
    first, last = answer.as_of, answer.as_of + dt.timedelta(weeks=52)
    words = f"{written(first)} to {written(last)}, by place and week"
    yield fitted(words, (0, 12.2), 3.8, room_mm=width_mm)


def _frame(space: PlaceSpace, width_mm: float, top_mm: float) -> Frame:
    weeks = space.weeks
    scale = Scale(weeks[0].date, weeks[-1].date, width_mm - AXIS_MM - END_MM)
    most = max(space.size_m2 or 0.0, max(week.high_m2 for week in weeks), 0.05)
    return Frame(scale, AXIS_MM, top_mm + 7.5, top_mm + PLACE_MM - 4.5, most * 1.08)


def _strip(space: PlaceSpace, frame: Frame) -> Iterable[Shape]:
    bottom = frame.bottom_mm
    taken = _steps(space.weeks, [week.expected_m2 for week in space.weeks], frame)
    ground = f"{taken}L{frame.right_mm:.3f} {bottom:.3f}L{frame.left_mm:.3f} {bottom:.3f}Z"
    yield Shape("taken", ground, fill=GREY)
    high = _steps(space.weeks, [week.high_m2 for week in space.weeks], frame)
    yield Shape("high", high, line_mm=0.25)
    if space.size_m2 is not None:
        y = frame.y_mm(space.size_m2)
        edge = line_path([(frame.left_mm, y), (frame.right_mm, y)])
        yield Shape("size", edge, line_mm=0.5, dash="2.4 1.4")
    months = "".join(f"M{frame.x_mm(day):.3f} {bottom:.3f}v1.6" for day in _firsts(space.weeks))
    yield Shape("month", months, line_mm=0.15)
    floor = line_path([(frame.left_mm, bottom), (frame.right_mm, bottom)])
    yield Shape("floor", floor, line_mm=0.25)


def _firsts(weeks: Sequence[SpaceWeek]) -> list[dt.date]:
    """The first days of the months in these weeks."""
    days = [weeks[0].date + dt.timedelta(days=n) for n in range(7 * len(weeks) - 6)]
    return [day for day in days if day.day == 1]


def _steps(weeks: Sequence[SpaceWeek], amounts: Sequence[float], frame: Frame) -> str:
    """Each amount holds until the next week begins."""
    points = []
    for number, (week, amount) in enumerate(zip(weeks, amounts, strict=True)):
        if number:
            points.append(frame.point(week.date, amounts[number - 1]))
        points.append(frame.point(week.date, amount))
    return line_path(points)


def _words(space: PlaceSpace, frame: Frame) -> Iterable[Text]:
    top = frame.top_mm - 2.6
    yield plain(space.place, (0, top), 4.2, bold=True)
    yield plain(_fullest_words(space), (frame.right_mm, top), LABEL_MM, anchor="end")
    yield plain("0", (frame.left_mm - 1.5, frame.bottom_mm), SMALL_MM, anchor="end")
    most = space.size_m2 or space.fullest.expected_m2
    at = (frame.left_mm - 1.5, frame.y_mm(most) + 1.0)
    yield plain(f"{most:.2g} m²", at, SMALL_MM, anchor="end")


def _fullest_words(space: PlaceSpace) -> str:
    week = space.overfull
    if week is not None:
        sure = "too small" if week.expected_m2 > (space.size_m2 or 0) else "may be too small"
        return f"{sure} from {written(week.date)}: up to {week.high_m2:.1f} m²"
    full = space.fullest
    return f"fullest {written(full.date)}: {full.expected_m2:.1f} m², up to {full.high_m2:.1f}"
