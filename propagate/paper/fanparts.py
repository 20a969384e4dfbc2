"""The parts of a fan's picture: axes, bands, lines, checks, the end, and the lanes below."""

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from typing import Final

from attrs import evolve

from propagate.days import written, written_month
from propagate.paper.drawing import (
    Box,
    Frame,
    Shape,
    Text,
    fitted,
    free_spot,
    line_path,
    plain,
    spread_apart,
    step_path,
    whole_ticks,
)
from propagate.paper.fandots import LABEL_MM, WIDEST_BAND, today_box
from propagate.paper.lettering import window_words
from propagate.paper.strips import Scale
from propagate.paper.widths import width_em
from propagate.records.answers import PlantCount
from propagate.records.fans import Fan

BANDS: Final = (
    (*WIDEST_BAND, "#ececec", 0.12),
    (0.1, 0.9, "#d4d4d4", 0.12),
    (0.25, 0.75, "#adadad", 0.2),
)
"""Quantiles between which a band lies, its tint and the width of its edge [mm].
Each band has an edge, so that the picture can be read where tints do not print."""

ODDS: Final = {0.05: "1 in 20", 0.1: "1 in 10", 0.25: "1 in 4"}
MOST_WINDOWS: Final = 3
"""Pot-on windows drawn one by one; more batches than that share one bar."""

SMALL_MM: Final = 2.7
LIKELY_MM: Final = 5.0
LANE_MM: Final = 8.0
YEAR_MM: Final = 11.0  # the room of a year under the axis
LIKELY: Final = "likely"
BAR_MM: Final = (3.0, 8.0)  # the bar of the end, beside the plot
LEAD_MM: Final = 4.0  # from the bar to its numbers


def axis_mm(fan: Fan) -> float:
    """The room that the numbers of the axis of plants take."""
    return 2.0 + max(width_em(str(tick)) for tick in whole_ticks(_most(fan))) * LABEL_MM


def _most(fan: Fan) -> float:
    """A little more than the most plants that are spoken of."""
    return max(fan.count, fan.wanted or 0, max(fan.plants.quantiles.values()), 1) * 1.02


def frame_of(fan: Fan, x_mm: tuple[float, float], y_mm: tuple[float, float]) -> Frame:
    """A frame from left to right and from top to bottom [mm] that holds the whole fan."""
    scale = Scale(fan.first, fan.last, x_mm[1] - x_mm[0])
    return Frame(scale, x_mm[0], y_mm[0], y_mm[1], _most(fan))


def plants_axis(frame: Frame) -> Iterable[Text]:
    """Whole numbers of plants beside their lines."""
    for plants in whole_ticks(frame.most_plants):
        at = (frame.left_mm - 1.6, frame.y_mm(plants) + 1.1)
        yield plain(str(plants), at, LABEL_MM, anchor="end")


MonthNames = Callable[[dt.date], str]


def english_month(day: dt.date) -> str:
    """The month of a day as the axis says it: Mar."""
    return written_month(day.month)


def days_axis(frame: Frame, month: MonthNames = english_month) -> Iterable[Text]:
    """Months by their names where there is room, and the year under the first of each."""
    months = [day for day in _months(frame) if frame.x_mm(day) + 6 < frame.right_mm + 4]
    for day in months:
        if _is_named(day, frame):
            at = (frame.x_mm(day) + 0.8, frame.bottom_mm + 4.2)
            yield plain(month(day), at, LABEL_MM)
    firsts = {day.year: day for day in reversed(months)}
    edge = frame.right_mm + YEAR_MM
    for year, day in firsts.items():
        if frame.x_mm(day) + YEAR_MM <= edge:
            edge = frame.x_mm(day)
            yield plain(str(year), (edge + 0.8, frame.bottom_mm + 8.4), LABEL_MM, bold=True)


def _months(frame: Frame) -> list[dt.date]:
    """The first days of the months on the axis."""
    days = []
    day = (frame.scale.first - dt.timedelta(days=1)).replace(day=1)
    while (day := (day + dt.timedelta(days=32)).replace(day=1)) <= frame.scale.last:
        days.append(day)
    return days


def _is_named(day: dt.date, frame: Frame) -> bool:
    """Whether a month stands by its name on the axis; a long tick leads to it then."""
    return (day.month - 1) % _month_step(frame) == 0


def _month_step(frame: Frame) -> int:
    """Every month named, or every 2nd, 3rd, 6th or 12th, so that names stand apart."""
    days = (frame.scale.last - frame.scale.first).days
    month_mm = frame.scale.width_mm * 30.4 / days
    return next((step for step in (1, 2, 3, 6) if month_mm * step >= 9.0), 12)


def grid(frame: Frame) -> Iterable[Shape]:
    """Hair lines at the ticks, the two axes, and a tick at each month."""
    rows = "".join(
        line_path([(frame.left_mm, frame.y_mm(tick)), (frame.right_mm, frame.y_mm(tick))])
        for tick in whole_ticks(frame.most_plants)[1:]
    )
    yield Shape("grid", rows, line_mm=0.1, stroke="#999999")
    bottom = frame.bottom_mm
    ticks = "".join(
        f"M{frame.x_mm(day):.3f} {bottom:.3f}v{3.4 if _is_named(day, frame) else 1.2}"
        for day in _months(frame)
    )
    yield Shape("month", ticks, line_mm=0.15)
    corner = [(frame.left_mm, frame.top_mm), (frame.left_mm, bottom), (frame.right_mm, bottom)]
    yield Shape("axis", line_path(corner), line_mm=0.25)


def potted_ground(fan: Fan, frame: Frame) -> Iterable[Shape]:
    """The plants that left the tray, as ground that stands firm under the line of the found."""
    steps = [(step.date, step.potted) for step in fan.steps]
    if not any(potted for _, potted in steps):
        return
    until = max(min(fan.as_of, fan.last), steps[-1][0])
    path = step_path(steps, until, frame)
    close = f"V{frame.bottom_mm:.3f}H{frame.x_mm(steps[0][0]):.3f}Z"
    yield Shape("potted", path + close, fill="#f6f6f6", line_mm=0.15)


def bands(fan: Fan, frame: Frame, fine: float = 1.0) -> Iterable[Shape]:
    """The fan's bands, the widest first, each with its edge."""
    for low, high, tint, edge_mm in BANDS:
        upper = [(frame.x_mm(week.date), frame.y_mm(week.quantiles[high])) for week in fan.weeks]
        lower = [(frame.x_mm(week.date), frame.y_mm(week.quantiles[low])) for week in fan.weeks]
        path = line_path([*upper, *reversed(lower)]) + "Z"
        yield Shape(f"band q{low * 100:.0f}", path, fill=tint, line_mm=edge_mm * fine)


def lines(fan: Fan, frame: Frame, fine: float = 1.0) -> Iterable[Shape]:
    """The number started, the number wanted, what was found, what is likely, and the day."""
    started = [(step.date, step.started) for step in fan.steps]
    yield Shape("started", step_path(started, fan.last, frame), line_mm=0.3 * fine)
    if fan.wanted is not None:
        row = frame.y_mm(fan.wanted)
        path = line_path([(frame.left_mm, row), (frame.right_mm, row)])
        yield Shape("wanted", path, line_mm=0.4 * fine, dash="2.4 1.2")
    if fan.first <= fan.as_of <= fan.last:
        x = frame.x_mm(fan.as_of)
        path = line_path([(x, max(0.2, frame.top_mm - 6)), (x, frame.bottom_mm)])
        yield Shape("today", path, line_mm=0.3 * fine, dash="0.9 0.7")
    opens = fan.weeks[0].date
    found = [(step.date, step.raised) for step in fan.steps if step.date <= opens]
    if opens > fan.first:
        yield Shape("found", step_path(found, opens, frame), line_mm=0.6 * fine)
    likely = [(frame.x_mm(week.date), frame.y_mm(week.quantiles[0.5])) for week in fan.weeks]
    yield Shape("likely", line_path(likely), line_mm=0.9 * fine)


def line_texts(fan: Fan, frame: Frame) -> Iterable[Text]:
    """Words for the lines that run across, each at its own line."""
    taken: list[Box] = []
    if fan.first <= fan.as_of <= fan.last:
        taken = [today_box(fan, frame)]
        yield _today_text(fan, frame)
    started = fan.steps[-1].started
    since = next(step.date for step in fan.steps if step.started == started)
    yield _on_line(f"{started} started", (since, started), frame, taken)
    if fan.wanted is not None:
        yield _on_line(f"{fan.wanted} wanted", (fan.first, fan.wanted), frame, taken)
    if fan.steps[-1].potted:
        yield _potted_text(fan, frame)


def _potted_text(fan: Fan, frame: Frame) -> Text:
    """The number potted on, within its ground where that is wide enough, else right of today."""
    step, today = fan.steps[-1], frame.x_mm(fan.as_of)
    words, y = f"{step.potted} potted on", frame.y_mm(step.potted) + 4.0
    starts = [frame.x_mm(step.date) + 1, today + 1]
    choices = [plain(words, (start, y), LABEL_MM) for start in starts]
    for text in choices:
        ends = text.box.x_mm + text.box.width_mm
        if ends <= frame.right_mm and not text.x_mm < today < ends:
            return text
    return plain(words, (starts[0] - 2, y), LABEL_MM, anchor="end")


def _on_line(words: str, at: tuple[dt.date, float], frame: Frame, taken: Sequence[Box]) -> Text:
    """Words on a line from a day to the right edge: at its left end, or where they are free."""
    x, y = frame.point(*at)
    starts = [x + 1, *(box.x_mm + 1.5 for box in taken if box.x_mm > x)]
    choices = [plain(words, (start, y - 1.0), LABEL_MM) for start in starts]
    inside = [text for text in choices if text.box.x_mm + text.box.width_mm < frame.right_mm]
    last = plain(words, (frame.right_mm - 1, y - 1.0), LABEL_MM, anchor="end")
    return free_spot([*inside, last], taken)


def _today_text(fan: Fan, frame: Frame) -> Text:
    """The day of the answer at its line, to its right unless that is the edge."""
    x, y = frame.x_mm(fan.as_of), frame.top_mm - 3.0
    words = plain(f"as of {written(fan.as_of)}", (x + 1, y), LABEL_MM)
    if words.box.x_mm + words.box.width_mm > frame.right_mm:
        return plain(f"as of {written(fan.as_of)}", (x - 1, y), LABEL_MM, anchor="end")
    return words


def end_bar(fan: Fan, frame: Frame) -> tuple[list[Shape], list[Text]]:
    """Beside the plot: what comes in the end, as a bar of the same bands, with its numbers."""
    quantiles = fan.plants.quantiles
    left, right = (frame.right_mm + edge for edge in BAR_MM)
    shapes = []
    for low, high, tint, edge_mm in BANDS:
        top, bottom = frame.y_mm(quantiles[high]), frame.y_mm(quantiles[low])
        path = f"M{left:.3f} {top:.3f}H{right:.3f}V{bottom:.3f}H{left:.3f}Z"
        shapes.append(Shape(f"end q{low * 100:.0f}", path, fill=tint, line_mm=edge_mm))
    row = frame.y_mm(quantiles[0.5])
    likely = line_path([(left - 0.6, row), (right + 0.6, row)])
    shapes.append(Shape("end likely", likely, line_mm=0.9))
    number_shapes, texts = _end_texts(_end_numbers(fan.plants), frame, right)
    texts.append(plain(_when(fan), (left, frame.top_mm - 3.0), LABEL_MM))
    return [*shapes, *number_shapes], texts


def _end_size_mm(words: str) -> float:
    return LIKELY_MM if words == LIKELY else LABEL_MM


def _widest_mm(numbers: Sequence[tuple[int, str]]) -> float:
    return max(width_em(str(n), bold=True) * _end_size_mm(words) for n, words in numbers)


def end_mm(fan: Fan) -> float:
    """The room beside the plot for what comes in the end: bar, leads, numbers, words."""
    numbers = _end_numbers(fan.plants)
    words = max(width_em(words) for _, words in numbers) * LABEL_MM
    when = width_em(_when(fan)) * LABEL_MM
    return max(BAR_MM[1] + LEAD_MM + _widest_mm(numbers) + 1.2 + words, BAR_MM[0] + when) + 0.5


def _when(fan: Fan) -> str:
    return f"by {written(fan.by)}" if fan.by else "in the end"


def _end_texts(
    numbers: Sequence[tuple[int, str]], frame: Frame, right_mm: float
) -> tuple[list[Shape], list[Text]]:
    """The numbers beside the bar, moved apart where they would touch, each led to its height."""
    rows = [frame.y_mm(plants) for plants, _ in numbers]
    places = spread_apart(rows, 4.6, (frame.top_mm + 2, frame.bottom_mm - 1))
    sizes = [_end_size_mm(words) for _, words in numbers]
    edge = right_mm + LEAD_MM + _widest_mm(numbers)
    shapes, texts = [], []
    for (plants, words), row, place, size in zip(numbers, rows, places, sizes, strict=True):
        number = plain(str(plants), (edge, place + size * 0.36), size, anchor="end", bold=True)
        texts += [number, plain(words, (edge + 1.2, place + 1.1), LABEL_MM)]
        points = [(right_mm + 0.7, row), (right_mm + 3.0, place), (number.box.x_mm - 0.3, place)]
        shapes.append(Shape("lead", line_path(points), line_mm=0.15))
    return shapes, texts


def _end_numbers(count: PlantCount) -> list[tuple[int, str]]:
    """The numbers from most to fewest, each once, with the chance of more or of fewer.

    Where two fall together the less usual one is said, for that holds of both.
    """
    said = {count.likely: LIKELY}
    for share, odds in ODDS.items():
        said.setdefault(count.quantiles[1 - share], f"{odds}: more")
        said.setdefault(count.quantiles[share], f"{odds}: fewer")
    if len(said) == 1:
        said = {count.likely: "for sure"}
    return sorted(said.items(), reverse=True)


Lane = tuple[str, str, Sequence[tuple[dt.date, dt.date, dt.date]]]
"""What a lane is, its words, and its bars from a day over the likely one to another."""


def lanes_of(fan: Fan) -> list[Lane]:
    """The season, then the pot-on windows; many windows share one lane."""
    lanes: list[Lane] = []
    if fan.seasons:
        bars = [(season.opens, season.opens, season.closes) for season in fan.seasons]
        lanes.append(("season", f"season: {fan.season_words}", bars))
    if len(fan.windows) > MOST_WINDOWS:
        early = min(window.pot_on.early for window in fan.windows)
        likely = sorted(window.pot_on.likely for window in fan.windows)
        late = max(window.pot_on.late for window in fan.windows)
        words = f"{len(fan.windows)} batches, {_dates((early, likely[len(likely) // 2], late))}"
        return [*lanes, ("window", words, [(early, likely[len(likely) // 2], late)])]
    for window in fan.windows:
        days = (window.pot_on.early, window.pot_on.likely, window.pot_on.late)
        whose = "" if fan.batch else f"{window.batch}: "
        lanes.append(("window", f"{whose}{window.words} {_dates(days)}", [days]))
    return lanes


def _dates(days: tuple[dt.date, dt.date, dt.date]) -> str:
    early, likely, late = window_words(*days)
    return f"{early} – {likely} – {late}" if early else likely


def draw_lanes(
    lanes: Sequence[Lane], frame: Frame, width_mm: float
) -> tuple[list[Shape], list[Text]]:
    """Bars under the axis of days, each with its words beneath."""
    shapes: list[Shape] = []
    texts: list[Text] = []
    for at, (what, words, bars) in enumerate(lanes):
        y = frame.bottom_mm + 12.0 + LANE_MM * at
        for opens, likely, closes in bars:
            shapes += _bar(what, (frame.x_mm(opens), frame.x_mm(likely), frame.x_mm(closes)), y)
        text = fitted(words, (frame.x_mm(bars[0][0]), y + 4.4), LABEL_MM, room_mm=width_mm)
        texts.append(evolve(text, x_mm=min(text.x_mm, width_mm - text.box.width_mm)))
    return shapes, texts


def _bar(what: str, x_mm: tuple[float, float, float], y_mm: float) -> Iterable[Shape]:
    """A season is an open box; a window a black bar with a tick at the likely day."""
    left, likely, right = x_mm
    box = f"M{left:.3f} {y_mm - 1:.3f}H{max(right, left + 0.6):.3f}v2H{left:.3f}Z"
    if what == "season":
        yield Shape(what, box, fill="white", line_mm=0.25)
        return
    yield Shape(what, box, fill="black")
    for color, line_mm in (("white", 1.4), ("black", 0.6)):
        tick = f"M{likely:.3f} {y_mm - 1.8:.3f}v3.6"
        yield Shape("tick", tick, line_mm=line_mm, stroke=color)
