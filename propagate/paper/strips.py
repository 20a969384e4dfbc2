"""The season strip: a line of months with a batch's start, its pot-on window and today."""

import datetime as dt
from typing import Final

from attrs import frozen

from propagate.days import written_short
from propagate.errors import Refused
from propagate.paper.widths import width_em

_MOST_LETTERS: Final = 16  # more months than this, and only every third is written
_MOST_QUARTERS: Final = 42  # and more than this, only each January


LETTER_MM: Final = 2.0
"""The size of the letters of months and years."""


@frozen
class Scale:
    """Days from `first` to `last` laid along `width_mm`."""

    first: dt.date
    last: dt.date
    width_mm: float

    def __attrs_post_init__(self) -> None:
        if self.last <= self.first:
            raise Refused(f"A season line cannot run from {self.first} to {self.last}.")

    def x_mm(self, day: dt.date) -> float:
        """Place of a day [mm]; days outside the scale stand at its ends."""
        part = (day - self.first) / (self.last - self.first)
        return min(max(part, 0.0), 1.0) * self.width_mm

    def holds(self, day: dt.date) -> bool:
        """Whether the day lies on the scale."""
        return self.first <= day <= self.last


@frozen
class MonthMark:
    """The first of a month: its place [mm], its letter, and the year where one begins.

    A letter is the month's name, `named`, where only each quarter's first month has one.
    """

    x_mm: float
    letter: str
    year: str
    first: dt.date

    @property
    def named(self) -> bool:
        """Whether the month is called by its name."""
        return len(self.letter) > 1


@frozen
class Strip:
    """One batch's marks [mm along the scale]; None for what lies outside the scale.

    The thin line runs from `line_from` to the window, the bar from `bar_from` to `bar_to`.
    """

    start: float | None
    line_from: float
    bar_from: float
    bar_to: float
    likely: float | None


def month_marks(scale: Scale) -> tuple[MonthMark, ...]:
    """A mark at the first of every month on the scale; the first mark and Januaries bear a year.

    Words that would run over the end of the scale are left out.
    """
    firsts = []
    day = scale.first.replace(day=1)
    while day <= scale.last:
        if scale.holds(day):
            firsts.append(day)
        day = (day + dt.timedelta(days=31)).replace(day=1)
    every = 1 if len(firsts) <= _MOST_LETTERS else 3 if len(firsts) <= _MOST_QUARTERS else 12
    return tuple(
        MonthMark(
            scale.x_mm(day),
            _if_room(scale, day, _letters(day, every)),
            _if_room(scale, day, str(day.year) if _bears_year(day, place) else ""),
            day,
        )
        for place, day in enumerate(firsts)
    )


def _if_room(scale: Scale, day: dt.date, words: str) -> str:
    return words if scale.x_mm(day) + width_em(words) * LETTER_MM <= scale.width_mm else ""


def _bears_year(day: dt.date, place: int) -> bool:
    return day.month == 1 or (place == 0 and day.month < 11)


def _letters(day: dt.date, every: int) -> str:
    """What is written at a month: its letter, a quarter's first month by name, or nothing."""
    if day.month % every != 1 % every:
        return ""
    return written_short(day)[2:] if every == 3 else "JFMAMJJASOND"[day.month - 1]


def strip(scale: Scale, started: dt.date, window: tuple[dt.date, dt.date, dt.date]) -> Strip:
    """Marks of one batch from its start and its window (early, likely, late)."""
    early, likely, late = window
    return Strip(
        start=scale.x_mm(started) if scale.holds(started) else None,
        line_from=scale.x_mm(started),
        bar_from=scale.x_mm(early),
        bar_to=scale.x_mm(late),
        likely=scale.x_mm(likely) if scale.holds(likely) else None,
    )
