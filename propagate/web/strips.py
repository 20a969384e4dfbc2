"""The season of one tray as a line of months: its start, the time to pot on, and today."""

import datetime as dt

from attrs import frozen

from propagate.paper.strips import MonthMark, Scale, Strip, month_marks, strip
from propagate.records.answers import PotOn

WIDTH = 60.0
"""Length of the line in units of its own picture; letters are two units high."""

MARGIN_DAYS = 21
BACK_DAYS, AHEAD_DAYS = 120, 400


@frozen
class SeasonStrip:
    """A line with its months, one tray's marks, and where today is; None where it is off it."""

    width: float
    months: tuple[MonthMark, ...]
    marks: Strip | None
    today: float
    started: float | None


Span = tuple[dt.date, dt.date]


def year_around(today: dt.date) -> Span:
    """The time that a list of trays is drawn over, the same for all of them."""
    return today - dt.timedelta(days=BACK_DAYS), today + dt.timedelta(days=AHEAD_DAYS)


def season_strip(
    started: dt.date, window: PotOn | None, today: dt.date, over: Span | None = None
) -> SeasonStrip:
    """The line from the start to the end of the window with today on it, or `over` a span."""
    margin = dt.timedelta(days=MARGIN_DAYS)
    last = max(today, window.late if window else today)
    first, last = over or (min(started, today) - margin, last + margin)
    scale = Scale(first, last, WIDTH)
    if window is None or window.late < first:
        marks = None
    else:
        marks = strip(scale, started, (window.early, window.likely, window.late))
    begun = scale.x_mm(started) if scale.holds(started) else None
    return SeasonStrip(WIDTH, month_marks(scale), marks, scale.x_mm(today), begun)
