"""Values of the settings file read one by one, each complaint kept with its key."""

import datetime as dt
import math
import re

from propagate.errors import Refused
from propagate.records.nursery import MonthDay
from propagate.tables import Table
from propagate.worded import worded


def month_day(text: str) -> MonthDay:
    """A day of any year from "MM-DD"; raises Refused for what is no such day."""
    parts = re.fullmatch(r"(\d{1,2})-(\d{1,2})", text.strip())
    try:
        if not parts:
            raise ValueError
        day = dt.date(2000, int(parts[1]), int(parts[2]))  # a leap year: 29 February is a day
    except ValueError:
        raise Refused(
            worded(
                '"{text}" is not a day of the year; write month-day, such as 05-10 for 10 May.',
                text=text,
            )
        ) from None
    return day.month, day.day


def day(table: Table, key: str, defaults: dict[str, MonthDay]) -> MonthDay:
    """A day of any year; the default where none, or none that can be read, is given."""
    text = table.text(key, "")
    if not text:
        return defaults[key]
    try:
        return month_day(text)
    except Refused as error:
        table.complain(error.said, key)
        return defaults[key]


def above_zero(table: Table, key: str) -> float | None:
    """A number above 0, None when it is not given; nan and inf are complained of by the table."""
    if not table.gives(key):
        return None
    number = table.number(key)
    if number <= 0:
        table.complain(
            worded("{number:g} is not above 0; leave it out where there is none", number=number),
            key,
        )
    return number


def whole(table: Table, key: str, default: int | None = None) -> int | None:
    """A whole number of 1 or more."""
    number = above_zero(table, key)
    if number is None or not math.isfinite(number):
        return default
    if not number.is_integer():
        table.complain(worded("{number:g} is not a whole number", number=number), key)
    return int(number)


def section(table: Table, key: str) -> list[tuple[str, Table]]:
    """The named tables under [key.NAME], with their problems collected by the caller."""
    if not table.gives(key):
        return []
    section = table.table(key)
    inner = section.named_tables()
    table.take_over(section)
    return inner


def close(table: Table, inner: Table) -> None:
    """Finish an inner table and hand its problems to the outer one."""
    inner.finish()
    table.take_over(inner)
