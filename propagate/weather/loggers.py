"""A logger's table of comma-separated values, its columns named once in the settings."""

import csv
import datetime as dt
from collections.abc import Iterable, Iterator
from itertools import chain, islice
from typing import Final

import numpy as np
from attrs import define, field, frozen

from propagate.errors import Refused
from propagate.nearness import nearest
from propagate.records.nursery import LoggerColumns, TempUnit
from propagate.weather.readings import NUMBER, Readings, to_celsius

LINES_BEFORE_ROWS: Final = 50
"""A logger may write about itself above the names of the columns, for so many lines."""

DELIMITERS: Final = (",", ";", "\t")
BLANKS: Final = ("", "-", "--", "na", "n/a", "nan", "null")
"""How loggers write that there is no reading."""

ENOUGH_OF_A_DAY: Final = 0.75
"""A day with fewer than this share of its usual number of readings gives no minimum and
maximum, for the night or the noon may be missing (memory)."""


DAY_FORMS: Final = (
    "%d.%m.%Y",
    "%d/%m/%Y",
    "%m/%d/%Y",
    "%d-%m-%Y",
    "%Y/%m/%d",
    "%d.%m.%y",
    "%d/%m/%y",
)
TIME_FORMS: Final = ("", " %H:%M", " %H:%M:%S", " %I:%M %p", " %I:%M:%S %p")
"""Forms of day and time that are offered where a file is not in the usual one; none is guessed,
for 3/11 is a day in March or in November."""


@frozen
class Row:
    """One row: its line, the day, and its lowest and highest; None where it has none."""

    line: int
    day: dt.date
    low_c: float | None
    high_c: float | None


def read_logger(
    lines: Iterable[str], columns: LoggerColumns, unit: TempUnit, readings: Readings
) -> None:
    """Take a logger's minima and maxima into the readings; readings within days are reduced.

    Raises Refused when no line near the top names the columns.
    """
    rows = _Table(lines, columns, unit, readings).rows()
    if columns.several_a_day:
        rows = _reduced(rows, readings)
    for row in rows:
        if row.low_c is not None:
            readings.low(row.day, row.low_c, row.line)
        if row.high_c is not None:
            readings.high(row.day, row.high_c, row.line)


@define
class _Day:
    """A day's readings so far."""

    line: int
    low_c: float
    high_c: float
    count: int = 0


def _reduced(rows: Iterable[Row], readings: Readings) -> Iterator[Row]:
    """One row for each day that has about as many readings as days usually have."""
    days: dict[dt.date, _Day] = {}
    for row in rows:
        # One mad reading would be the day's end, so each is looked at before it can be.
        if row.low_c is None or not readings.is_sound(row.day, row.low_c, row.line):
            continue
        day = days.setdefault(row.day, _Day(row.line, row.low_c, row.low_c))
        day.low_c, day.high_c = min(day.low_c, row.low_c), max(day.high_c, row.low_c)
        day.count += 1
    usual = float(np.median([day.count for day in days.values()])) if days else 0.0
    for date, day in days.items():
        if day.count >= ENOUGH_OF_A_DAY * usual:
            yield Row(day.line, date, day.low_c, day.high_c)
        else:
            readings.left_out["too few readings in the day"] += 1


@define
class _Table:
    """The lines of a table whose columns are known by name."""

    lines: Iterable[str]
    columns: LoggerColumns
    unit: TempUnit
    readings: Readings
    _delimiter: str = ""
    _header: list[str] = field(factory=list)
    _offered: str = ""

    def rows(self) -> Iterator[Row]:
        """Every row that has a day, the others being complained of."""
        every = iter(self.lines)
        top = list(islice(every, LINES_BEFORE_ROWS))
        above = self._find_header(top)
        cells = csv.reader(chain(top[above:], every), delimiter=self._delimiter)
        next(cells)
        low, high = (self._header.index(name) for name in (self.columns.low, self.columns.high))
        when = self._header.index(self.columns.when)
        for row in cells:
            line = above + cells.line_num
            if not any(cell.strip() for cell in row):
                continue
            if len(row) <= max(when, low, high):
                self.readings.complain(
                    f"{len(self._header)} cells are wanted, not {len(row)}", line
                )
                continue
            day = self._day(row[when].strip(), line)
            if day is not None:
                low_c = self._temp_c(row[low], line)
                yield Row(line, day, low_c, low_c if high == low else self._temp_c(row[high], line))

    def _find_header(self, top: list[str]) -> int:
        """The number of lines above the one that names the columns."""
        wanted = {self.columns.when, self.columns.low, self.columns.high}
        met: set[str] = set()
        for at, line in enumerate(top):
            for delimiter in DELIMITERS:
                cells = [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter), [])]
                if wanted <= set(cells):
                    self._header, self._delimiter = cells, delimiter
                    return at
                met.update(cells if len(cells) > 1 else ())
        missing = sorted(wanted - met)[0] if wanted - met else sorted(wanted)[0]
        near = nearest(missing, met, count=1)
        offer = f'; did you mean "{near[0]}"?' if near else ""
        raise Refused(f'none of its first lines names a column "{missing}"{offer}')

    def _day(self, text: str, line: int) -> dt.date | None:
        form = self.columns.form
        try:
            moment = dt.datetime.strptime(text, form) if form else dt.datetime.fromisoformat(text)
        except (ValueError, OverflowError):
            wanted = (
                f"the form {form}" if form else f"2026-11-25 or 2026-11-25 14:00; {_offer(text)}"
            )
            self.readings.complain(f'"{text}" is not a day as {wanted}', line)
            return None
        return moment.date()

    def _temp_c(self, cell: str, line: int) -> float | None:
        text = cell.strip()
        if text.casefold() in BLANKS:
            return None
        if not NUMBER.fullmatch(text):
            self.readings.complain(f'"{text}" is not a temperature', line)
            return None
        return to_celsius(float(text.replace(",", ".")), self.unit)


def _offer(text: str) -> str:
    """What to write into the settings so that a day such as this is read."""
    forms = [day + time for day in DAY_FORMS for time in TIME_FORMS]
    fitting = [f'"{form}"' for form in forms if _fits(text, form)]
    return f"set day_format = {' or '.join(fitting)}" if fitting else "set day_format"


def _fits(text: str, form: str) -> bool:
    try:
        dt.datetime.strptime(text, form)
    except ValueError:
        return False
    return True
