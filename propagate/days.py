"""Days as people type them and as paper should show them."""

import datetime as dt
import re

from propagate.errors import Refused
from propagate.numberwords import read_words
from propagate.worded import worded, written_day

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_YEAR_FIRST = re.compile(r"(\d{4})([-./ ])(\d{1,2})\2(\d{1,2})")
_YEAR_LAST = re.compile(r"(\d{1,2})([-./ ])(\d{1,2})(?:\2(\d{2}|\d{4})|\.)?")
_SHORT_YEAR = re.compile(r"(\D*\d{1,2}\D+)(\d{2})")
_WORDED = re.compile(r"\D*\d{1,2}(?:\D*|\D+(\d{4}))")
_LEAP_DAY_GAP_YEARS = 8  # the longest time from one 29 February to the next, over 1900 or 2100
_WORDS = {"yesterday": -1, "today": 0, "tomorrow": 1}
_AGO = re.compile(r"(.+) (day|week|fortnight)s? ago")
_DAYS_OF = {"day": 1, "week": 7, "fortnight": 14}
_WEEKDAY = re.compile(
    r"(last )?(?:on )?(?:(mon)(?:day)?|(tue)(?:s|sday)?|(wed)(?:nesday)?|(thu)(?:r|rs|rsday)?"
    r"|(fri)(?:day)?|(sat)(?:urday)?|(sun)(?:day)?)"
)


def written(day: dt.date) -> str:
    """The day as paper shows it: 12 Mar 2027, which nobody can misread."""
    return written_day(f"{day.day} {_MONTHS[day.month - 1]} {day.year}", day)


def written_short(day: dt.date) -> str:
    """The day without its year, where the year is plain: 12 Mar."""
    return written_day(f"{day.day} {_MONTHS[day.month - 1]}", day, style="short")


def written_month(month: int) -> str:
    """A month by its number: Mar."""
    return written_day(_MONTHS[month - 1], dt.date(2000, month, 1), style="month")


def read_day(text: str, today: dt.date) -> dt.date:
    """The day somebody typed: 2027-03-12, 12 Mar 2027, 12 March, 13/3/2027, last Tuesday.

    A day without a year is the latest such day that is not after `today`, and so is a day of
    the week; a year of two digits after a month in words is one of 2000 to 2099. Raises
    Refused for what is no day, and for numbers that could be two different days.
    """
    typed = " ".join(text.split())
    try:
        return (
            _as_said(typed.lower(), today) or _in_numbers(typed, today) or _in_words(typed, today)
        )
    except (ValueError, OverflowError) as error:
        if isinstance(error, Refused):
            raise
        raise Refused(
            worded(
                '"{text}" is not a day; write 2027-03-12 or 12 Mar 2027 (year-month-day or words).',
                text=text,
            )
        ) from None


def read_day_ahead(text: str, today: dt.date) -> dt.date:
    """The day to come that somebody typed; without a year it is the next such day."""
    words = " ".join(text.lower().split())
    weekday = _WEEKDAY.fullmatch(words)
    if not (weekday or words in _WORDS or _AGO.fullmatch(words)):
        return read_day(text, today + dt.timedelta(days=365))
    day = read_day(text, today)
    return day + dt.timedelta(weeks=1) if weekday and not weekday[1] and day < today else day


def _as_said(words: str, today: dt.date) -> dt.date | None:
    """The day of words such as yesterday, two weeks ago, last Tuesday; None for other words.

    Raises ValueError for so many days ago where that is no number.
    """
    if words in _WORDS:
        return today + dt.timedelta(days=_WORDS[words])
    if found := _AGO.fullmatch(words):
        return today - dt.timedelta(days=_number(found[1]) * _DAYS_OF[found[2]])
    if not (found := _WEEKDAY.fullmatch(words)):
        return None
    weekday = next(at for at, name in enumerate(found.groups()[1:]) if name)
    back = (today.weekday() - weekday) % 7
    return today - dt.timedelta(days=back or (7 if found[1] else 0))


def _number(words: str) -> int:
    """How many days or weeks; raises ValueError for what is no number."""
    if re.fullmatch(r"\d{1,3}", words):
        return int(words)
    number = 1 if words in ("a", "an") else read_words(words)
    if number is None:
        raise ValueError(words)
    return number


def _in_numbers(typed: str, today: dt.date) -> dt.date | None:
    """The day of numbers alone, None where there are words; raises ValueError for no day."""
    if found := _YEAR_FIRST.fullmatch(typed):
        return dt.date(int(found[1]), int(found[3]), int(found[4]))
    found = _YEAR_LAST.fullmatch(typed)
    if not found:
        return None
    first, second, year = int(found[1]), int(found[3]), found[4] or ""
    if first <= 12 and second <= 12 and first != second:
        raise _two_days(typed, first, second, year)
    if len(year) == 2:
        raise Refused(
            worded('"{text}" could be two different days; write the year in full.', text=typed)
        )
    month, day = min(first, second), max(first, second)
    return dt.date(int(year), month, day) if year else _latest(f"{day} {_month(month)}", today)


def _two_days(typed: str, first: int, second: int, year: str) -> Refused:
    """Say which two days are meant by numbers, so that one of them can be typed."""
    tail = f" {year if len(year) == 4 else f'20{year}'}" if year else ""
    return Refused(
        worded(
            '"{text}" could be two different days; write {one} or {other}.',
            text=typed,
            one=f"{first} {_month(second)}{tail}",
            other=f"{second} {_month(first)}{tail}",
        )
    )


def _month(number: int) -> str:
    """A month's short name; raises ValueError where there is no such month."""
    if not 1 <= number <= 12:
        raise ValueError(number)
    return _MONTHS[number - 1]


def _in_words(typed: str, today: dt.date) -> dt.date:
    """The day with its month in words; raises ValueError for no day."""
    # The numbers are told apart here, because the parser would take one for an hour or a year.
    if short := _SHORT_YEAR.fullmatch(typed):
        typed = f"{short[1]}20{short[2]}"
    shape = _WORDED.fullmatch(typed)
    if not shape or not any(month.lower() in typed.lower() for month in _MONTHS):
        raise ValueError(typed)
    return _parsed(typed) if shape[1] else _latest(typed, today)


def _latest(typed: str, today: dt.date) -> dt.date:
    """The latest day without a year that is not after `today`; raises ValueError for no day."""
    for year in range(today.year, today.year - _LEAP_DAY_GAP_YEARS - 1, -1):
        try:
            day = _parsed(f"{typed} {year}")
        except ValueError:
            continue  # 29 February, perhaps
        if day <= today:
            return day
    raise ValueError(typed)


def _parsed(typed: str) -> dt.date:
    # Imported where it is used: it costs every command 30 ms, and most days are ISO.
    from dateutil import parser

    return parser.parse(typed, dayfirst=True, ignoretz=True).date()
