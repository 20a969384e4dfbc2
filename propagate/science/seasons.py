"""Dates moved into the season in which a step is allowed; plain days, no arrays."""

import datetime as dt

MonthDay = tuple[int, int]


def into_season(date: dt.date, opens: MonthDay, closes: MonthDay) -> dt.date:
    """`date` itself when in the season, else the next day on which the season opens.

    The season runs from `opens` to `closes`, (month, day), both included; it may wrap the
    year's end. In a year without 29 February that day means 1 March.
    """
    here = (date.month, date.day)
    inside = opens <= here <= closes if opens <= closes else here >= opens or here <= closes
    if inside:
        return date
    this_year = _on(date.year, opens)
    return this_year if this_year > date else _on(date.year + 1, opens)


def last_on(date: dt.date, month_day: MonthDay) -> dt.date:
    """The last such day of a year up to `date`."""
    this_year = _on(date.year, month_day)
    return this_year if this_year <= date else _on(date.year - 1, month_day)


def _on(year: int, month_day: MonthDay) -> dt.date:
    leapless = month_day == (2, 29) and not (year % 4 == 0 and (year % 100 or year % 400 == 0))
    month, day = (3, 1) if leapless else month_day
    return dt.date(year, month, day)
