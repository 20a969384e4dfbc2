"""Frost dates from a record, in either hemisphere."""

import datetime as dt

import numpy as np
import pytest

from propagate.weather.frosts import frost_dates
from propagate.weather.series import ONE_DAY, DailyTemps


def winters(first_year: int, spring: list[tuple[int, int]], autumn: tuple[int, int]) -> DailyTemps:
    """A frost each night from an autumn day to a day of the next spring, one for each year."""
    first, last = dt.date(first_year, 7, 1), dt.date(first_year + len(spring), 6, 30)
    days = [first + ONE_DAY * n for n in range((last - first).days + 1)]
    low = np.full(len(days), 5.0)
    for at, last_frost in enumerate(spring):
        begins = dt.date(first_year + at, *autumn)
        ends = dt.date(first_year + at + 1, *last_frost)
        low[(begins - first).days : (ends - first).days + 1] = -1
    return DailyTemps(first, low, low + 10, "station")


def test_the_middle_of_the_dates_is_their_mean_and_the_ends_lie_around_it() -> None:
    """Dates two days apart deviate by sqrt(10) = 3.16 days; 1.2816 of that is 4.05 days."""
    record = winters(2020, [(5, 6), (5, 8), (5, 10), (5, 12), (5, 14)], (10, 20))
    frosts = frost_dates(record, "north")
    assert frosts is not None
    assert frosts.last == {0.1: (5, 14), 0.5: (5, 10), 0.9: (5, 6)}
    assert frosts.first[0.5] == (10, 20)
    assert (frosts.winters, frosts.source, frosts.any_frost) == (5, "station", 1)


def test_fewer_than_five_whole_winters_give_no_dates() -> None:
    assert frost_dates(winters(2020, [(5, 6)] * 4, (10, 20)), "north") is None


def test_where_frost_is_rare_some_chances_have_no_day() -> None:
    record = winters(2020, [(2, 10), (2, 10)], (1, 31))
    with_none = DailyTemps(
        record.first, np.concatenate([record.low_c, np.full(4 * 365, 5.0)]), np.full(2190, 15), "s"
    )
    frosts = frost_dates(with_none, "north")
    assert frosts is not None
    assert frosts.any_frost == pytest.approx(2 / 6)
    assert frosts.last[0.5] is None
    assert frosts.last[0.1] is not None


def test_a_southern_winter_lies_within_its_year() -> None:
    first = dt.date(2018, 1, 1)
    days = [first + ONE_DAY * n for n in range(8 * 365)]
    low = np.array([-1.0 if (5, 20) <= (day.month, day.day) <= (9, 10) else 5 for day in days])
    frosts = frost_dates(DailyTemps(first, low, low + 10, "station"), "south")
    assert frosts is not None
    assert (frosts.first[0.5], frosts.last[0.5]) == ((5, 20), (9, 10))


def test_of_a_long_record_the_latest_thirty_winters_count() -> None:
    record = winters(1980, [(6, 1)] * 10 + [(5, 1)] * 30, (10, 20))
    frosts = frost_dates(record, "north")
    assert frosts is not None
    assert (frosts.winters, frosts.last[0.5]) == (30, (5, 1))
