"""A plan on paper: the season as bars, a line a start, then each line with its reasons."""

import datetime as dt
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from propagate.days import written, written_short
from propagate.paper.csvfiles import Cell
from propagate.paper.drawing import Drawing, Mark, Shape, Text, fitted, plain
from propagate.paper.lettering import name_runs
from propagate.paper.pages import paper_size, picture, write_drawn
from propagate.paper.printing import Print, Written
from propagate.paper.strips import Scale, month_marks
from propagate.paper.templates import fill
from propagate.paper.widths import width_em
from propagate.records.plans import Plan, PlanLine

HEAD_MM: Final = 27.0
ROW_MM: Final = 11.0
KEY_MM: Final = 10.0
NAMES_MM: Final = 88.0
BEDS_MM: Final = 44.0
TRAY: Final = "black"
POTS: Final = "#b5b5b5"
AFTER_DAYS: Final = 21  # the chart runs on so long after the last want

CSV_HEADER: Final = (
    *("line", "start", "at the latest", "count", "plant", "method", "place", "mother", "mothers"),
    *("beds", "by", "short", "likely", "chance", "pot on", "ready", "tray m2", "pots m2"),
    *("hours", "why"),
)


def write_plan(
    plan: Plan, folders: Sequence[Path], path: Path, nursery: str, paper: str = "a4"
) -> Written:
    """Write a plan as .svg (the chart alone), .pdf, .html or .csv, by the file's ending.

    Raises Refused for another ending, or when the file cannot be written.
    """
    return write_drawn(
        path,
        lambda: picture(draw_plan(plan, nursery, 270.0, None)[0], folders),
        lambda: render_plan(plan, folders, nursery, paper),
    )


def render_plan(plan: Plan, folders: Sequence[Path], nursery: str, paper: str) -> Print:
    """The chart on pages in landscape, then the lines with their reasons; a table goes with it."""
    size = paper_size("A plan comes", paper, lying=True)
    drawings = draw_plan(plan, nursery, *size.room_mm)
    html = fill(
        "plan.html",
        folders,
        drawings=drawings,
        plan=plan,
        nursery=nursery,
        written=written,
        paper=size,
        as_of=plan.as_of,
    )
    rows = tuple(_csv_row(line, n) for n, line in enumerate(plan.lines, start=1))
    return Print(html=html, header=CSV_HEADER, rows=rows)


def draw_plan(plan: Plan, nursery: str, width_mm: float, room_mm: float | None) -> list[Drawing]:
    """The season chart, a drawing a page of `room_mm` height, or one long one."""
    a_page = len(plan.lines) or 1
    if room_mm is not None:
        a_page = max(1, int((room_mm - HEAD_MM - KEY_MM) / ROW_MM))
    numbered = list(enumerate(plan.lines, start=1))
    pages = [numbered[at : at + a_page] for at in range(0, len(numbered), a_page)] or [[]]
    return [_page(plan, nursery, lines, width_mm) for lines in pages]


def _page(
    plan: Plan, nursery: str, lines: Sequence[tuple[int, PlanLine]], width_mm: float
) -> Drawing:
    hours = f"{plan.hours:.0f} hours of work"
    texts = [
        plain("What to start", (0, 7), 6.0, bold=True),
        fitted(f"{nursery}, as of {written(plan.as_of)}; {hours}", (0, 13), 3.6, room_mm=width_mm),
    ]
    shapes: list[Shape] = []
    dots: list[Mark] = []
    bottom = HEAD_MM + len(lines) * ROW_MM
    if lines:
        scale = _scale(plan, width_mm - NAMES_MM - BEDS_MM)
        shapes += _months(scale, bottom)
        texts += _month_names(scale)
        for at, (number, line) in enumerate(lines):
            row = _row(number, line, scale, HEAD_MM + at * ROW_MM, width_mm)
            shapes += row[0]
            dots += row[1]
            texts += row[2]
        key_shapes, key_dots, key_texts = _key(bottom + 4)
        shapes += key_shapes
        dots += key_dots
        texts += key_texts
    else:
        texts.append(plain("Nothing need be started.", (0, 22), 4.0))
    return Drawing(
        width_mm=width_mm,
        height_mm=bottom + KEY_MM,
        title="What to start",
        shapes=tuple(shapes),
        dots=tuple(dots),
        texts=tuple(texts),
    )


def _scale(plan: Plan, width_mm: float) -> Scale:
    last = max(max(line.gap.by, line.start) for line in plan.lines)
    return Scale(plan.as_of, last + dt.timedelta(days=AFTER_DAYS), width_mm)


def _months(scale: Scale, bottom: float) -> Iterable[Shape]:
    """Hair lines at the months, the years' a little thicker."""
    for mark in month_marks(scale):
        line_mm = 0.3 if mark.letter in ("J", "Jan") and mark.year else 0.1
        x = NAMES_MM + mark.x_mm
        path = f"M{x:.3f} {HEAD_MM - 3:.3f}V{bottom:.3f}"
        yield Shape("month", path, line_mm=line_mm, stroke="#999999")


def _month_names(scale: Scale) -> Iterable[Text]:
    for mark in month_marks(scale):
        x = NAMES_MM + mark.x_mm + 0.6
        if mark.letter:
            yield plain(mark.letter, (x, HEAD_MM - 3.6), 2.8)
        if mark.year:
            yield plain(mark.year, (x, HEAD_MM - 7.2), 2.8, bold=True)


def _row(
    number: int, line: PlanLine, scale: Scale, top: float, width_mm: float
) -> tuple[list[Shape], list[Mark], list[Text]]:
    """One start: number, count and name; its way from tray to pot to bed; for what it is."""
    texts = [plain(str(number), (0, top + 6), 4.2, bold=True)]
    lead = f"{line.count} "
    texts.append(plain(lead, (9, top + 4), 3.4, bold=True))
    x = 9 + width_em(lead, bold=True) * 3.4 + 0.8
    runs = tuple(name_runs(line.plant))
    length = sum(width_em(run.text) for run in runs)
    texts.append(Text(runs, x, top + 4, min(3.4, (NAMES_MM - 2 - x) / length)))
    where = "".join(f", {part}" for part in (line.place, _from(line)) if part)
    texts.append(fitted(f"{line.method_name}{where}", (9, top + 8), 2.7, room_mm=NAMES_MM - 11))
    right = width_mm - BEDS_MM + 2
    room = BEDS_MM - 2
    texts.append(fitted(line.gap.beds, (right, top + 4), 3.2, room_mm=room, bold=True))
    said = f"{line.gap.short} short by {written_short(line.gap.by)}; {line.chance * 100:.0f} % sure"
    texts.append(fitted(said, (right, top + 8), 2.6, room_mm=room))
    shapes = [Shape("row", f"M0 {top:.2f}H{width_mm:.2f}", line_mm=0.08), *_way(line, scale, top)]
    by = NAMES_MM + scale.x_mm(line.gap.by)
    return shapes, [Mark("by", by, top + 4.6, 1.5, "white", "black", 0.5)], texts


def _from(line: PlanLine) -> str:
    return f"from {line.mother}" if line.mother else ""


def _way(line: PlanLine, scale: Scale, top: float) -> Iterable[Shape]:
    """The days in which it may be started as a frame, the tray black, the pots grey."""

    def x(day: dt.date) -> float:
        return NAMES_MM + scale.x_mm(day)

    yield Shape("window", _box(x(line.start), top + 1.6, x(line.last_start)), line_mm=0.25)
    potted = min(line.pot_on, line.gap.by)
    yield Shape("tray", _box(x(line.start), top + 3, x(potted), 3.2), fill=TRAY)
    leaves = min(max(line.ready, potted), line.gap.by)
    if leaves > potted:
        pots = _box(x(potted), top + 3, x(leaves), 3.2)
        yield Shape("pots", pots, fill=POTS, line_mm=0.12)
    yield Shape("to bed", f"M{x(leaves):.3f} {top + 4.6:.3f}H{x(line.gap.by):.3f}", line_mm=0.25)


def _box(left: float, top: float, right: float, height: float = 6.0) -> str:
    width = max(right - left, 0.6)
    return f"M{left:.3f} {top:.3f}h{width:.3f}v{height:.3f}h{-width:.3f}Z"


def _key(top: float) -> tuple[list[Shape], list[Mark], list[Text]]:
    """What the marks mean."""
    shapes = [
        Shape("key", _box(0, top, 6, 3), line_mm=0.25),
        Shape("key", _box(46, top, 52, 3), fill=TRAY),
        Shape("key", _box(80, top, 86, 3), fill=POTS, line_mm=0.12),
    ]
    dots = [Mark("key", 116, top + 1.5, 1.5, "white", "black", 0.5)]
    texts = [
        plain("may be started then", (7.4, top + 2.5), 2.6),
        plain("in the tray", (53.4, top + 2.5), 2.6),
        plain("in pots", (87.4, top + 2.5), 2.6),
        plain("wanted by", (119, top + 2.5), 2.6),
    ]
    return shapes, dots, texts


def _csv_row(line: PlanLine, number: int) -> tuple[Cell, ...]:
    return (
        number,
        line.start.isoformat(),
        line.last_start.isoformat(),
        line.count,
        str(line.plant),
        line.method,
        line.place,
        line.mother,
        round(line.mothers, 2),
        line.gap.beds,
        line.gap.by.isoformat(),
        line.gap.short,
        line.gives,
        round(line.chance, 4),
        line.pot_on.isoformat(),
        line.ready.isoformat(),
        round(line.tray_m2, 3),
        round(line.pots_m2, 3),
        round(line.hours, 2),
        " ".join(line.why),
    )
