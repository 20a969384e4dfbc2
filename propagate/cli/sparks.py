"""A fan in characters: a small chart of weeks and plants, and a spark of one line."""

import datetime as dt
import sys
from collections.abc import Sequence
from typing import Final

from attrs import frozen

from propagate.cli.say import say
from propagate.days import written
from propagate.records.fans import Fan

LOW, LIKELY, HIGH = 0.1, 0.5, 0.9
"""The quantiles drawn: the truth lies in the shaded range 8 times in 10."""

RISING: Final = "▁▂▃▄▅▆▇█"
TENTHS: Final = "0123456789"
STEPS_WEEKS: Final = (1, 2, 4, 5, 10, 13, 26, 52)
LEAST_GAP: Final = 5  # columns between the numbers of two weeks
WIDTH: Final = 56
SCREEN: Final = 79
HEIGHT: Final = 9


@frozen
class Pens:
    """The characters to draw with."""

    likely: str
    spread: str
    check: str
    today: str
    axis: str
    corner: str


FANCY: Final = Pens("━", "░", "●", "┊", "│", "└")
PLAIN: Final = Pens("=", ":", "o", "|", "|", "+")

FANCY_LETTERS: Final = RISING + "━░●┊│└─┴├┤·"

Column = tuple[int, int, int]
"""Low, likely and high number of plants."""


def can_draw() -> bool:
    """Whether blocks and lines may be shown: on a terminal that has the letters, not in a pipe."""
    if not sys.stdout.isatty():
        return False
    try:
        FANCY_LETTERS.encode(sys.stdout.encoding or "ascii")
    except (LookupError, UnicodeEncodeError):
        return False
    return True


def tell_fan(fan: Fan) -> None:
    """Print the chart of a fan, plain where the screen or the pipe asks for it."""
    for line in chart(fan, fancy=can_draw()):
        say(line)


def spark(fan: Fan, width: int = 24, *, fancy: bool = False) -> str:
    """The likely number of plants as one line from the first day to the last.

    A block's height, or in plain letters a digit, is its share of those started: 5 means that
    from five to below six tenths of them are likely.
    """
    marks = RISING if fancy else TENTHS
    most = max(fan.count, 1)
    columns = [_plants(fan, day)[1] for day in _days(fan, width)]
    return "".join(marks[min(len(marks) * n // most, len(marks) - 1)] for n in columns)


def chart(
    fan: Fan, width: int | None = None, height: int = HEIGHT, *, fancy: bool = False
) -> list[str]:
    """A small chart, `width` columns and `height` rows in its frame, else as wide as 79 allow.

    A line for the likely number, shade for the range that holds the truth 8 times in 10, a
    mark for each check; below them the weeks since the first day.
    """
    pens = FANCY if fancy else PLAIN
    most, ending = _most(fan), _end_words(fan)
    margin = len(str(most)) + 1
    columns = width or min(WIDTH, SCREEN - margin - len(ending) - 3)
    said = {_row(fan.plants.likely, most, height): ending}
    shown = {0: str(most), height - 1: "0"}
    lines = [_opening(fan)]
    for at, row in enumerate(_rows(fan, (columns, height), pens)):
        lead = shown.get(at, "").rjust(margin)
        lines.append(f"{lead} {pens.axis}{row} {said.get(at, '')}".rstrip())
    lines += _week_axis(fan, columns, margin, pens)
    lines.append(_legend(fan, pens))
    return lines


def _opening(fan: Fan) -> str:
    return f"plants of {fan.count} started, by week from {written(fan.first)}"


def _end_words(fan: Fan) -> str:
    low, likely, high = (fan.plants.quantiles[share] for share in (LOW, LIKELY, HIGH))
    return f"{likely}" if low == high else f"{likely} ({low} to {high})"


def _most(fan: Fan) -> int:
    return max(fan.count, fan.wanted or 0, fan.plants.quantiles[HIGH], 1)


def _days(fan: Fan, width: int) -> list[dt.date]:
    """The day that each column stands for."""
    span = (fan.last - fan.first).days
    return [fan.first + dt.timedelta(days=round(span * at / (width - 1))) for at in range(width)]


def _column(fan: Fan, day: dt.date, width: int) -> int:
    return round((width - 1) * (day - fan.first) / (fan.last - fan.first))


def _plants(fan: Fan, day: dt.date) -> Column:
    """Low, likely and high on a day: what was known then, or what the last week before it says."""
    past = [week for week in fan.weeks if week.date <= day]
    if not past:
        known = fan.known_on(day).raised
        return known, known, known
    low, likely, high = (past[-1].quantiles[share] for share in (LOW, LIKELY, HIGH))
    return low, likely, high


def _row(plants: float, most: int, height: int) -> int:
    """The row of a number of plants, 0 at the top."""
    return height - 1 - round(min(plants / most, 1.0) * (height - 1))


def _rows(fan: Fan, size: tuple[int, int], pens: Pens) -> list[str]:
    width, height = size
    most = _most(fan)
    cells = [[" "] * width for _ in range(height)]
    if fan.first <= fan.as_of <= fan.last:
        for line in cells:
            line[_column(fan, fan.as_of, width)] = pens.today
    for at, day in enumerate(_days(fan, width)):
        low, likely, high = (_row(n, most, height) for n in _plants(fan, day))
        for row in range(high, low + 1):
            cells[row][at] = pens.spread
        cells[likely][at] = pens.likely
    for dot in fan.dots:
        cells[_row(dot.plants, most, height)][_column(fan, dot.date, width)] = pens.check
    return ["".join(row) for row in cells]


def _week_axis(fan: Fan, width: int, margin: int, pens: Pens) -> Sequence[str]:
    """The axis with a tick at every so many weeks, and their numbers under it."""
    weeks = (fan.last - fan.first).days / 7
    step = next(
        (step for step in STEPS_WEEKS if step * (width - 1) / weeks >= LEAST_GAP), STEPS_WEEKS[-1]
    )
    ticks = {round(week / weeks * (width - 1)): week for week in range(0, int(weeks) + 1, step)}
    line, tick = ("─", "┴") if pens is FANCY else ("-", "+")
    axis = "".join(tick if at in ticks else line for at in range(width))
    numbers = [" "] * (width + 4)
    for at, week in ticks.items():
        numbers[at : at + len(str(week))] = str(week)
    lead = " " * (margin + 2)
    return [f"{' ' * margin} {pens.corner}{axis}", f"{lead}{''.join(numbers).rstrip()} weeks"]


def _legend(fan: Fan, pens: Pens) -> str:
    parts = [f"{pens.likely} likely", f"{pens.spread} 8 times in 10"]
    if fan.dots:
        parts.append(f"{pens.check} a check")
    if fan.first <= fan.as_of <= fan.last:
        parts.append(f"{pens.today} {written(fan.as_of)}")
    return "   ".join(parts)
