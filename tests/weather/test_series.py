"""A record of days: where its gaps are, and how several records become one."""

import datetime as dt

import numpy as np
import pytest

from propagate.weather.series import DailyTemps, merged

NAN = float("nan")
FIRST = dt.date(2026, 12, 30)


def record(low_c: list[float], first: dt.date = FIRST, source: str = "logger") -> DailyTemps:
    """Days whose maximum lies 10 °C above their minimum."""
    return DailyTemps(first, low_c, np.array(low_c) + 10, source)


def test_a_record_knows_its_last_day_and_its_years() -> None:
    days = record([1, 2, 3])
    assert days.last == dt.date(2027, 1, 1)
    assert days.years() == (2026, 2027)


def test_gaps_are_runs_of_days_that_lack_a_reading() -> None:
    days = record([NAN, 1, NAN, NAN, 2, NAN])
    day = dt.timedelta(days=1)
    assert list(days.gaps()) == [
        (FIRST, FIRST),
        (FIRST + 2 * day, FIRST + 3 * day),
        (FIRST + 5 * day, FIRST + 5 * day),
    ]
    assert list(record([1, 2]).gaps()) == []


def test_a_day_with_one_of_its_two_readings_is_a_gap() -> None:
    days = DailyTemps(FIRST, [1, 2], [NAN, 12], "logger")
    assert list(days.gaps()) == [(FIRST, FIRST)]


def test_outside_the_record_there_is_nothing() -> None:
    low, high = record([1, 2]).between(dt.date(2026, 12, 29), 4)
    np.testing.assert_array_equal(low, [NAN, 1, 2, NAN])
    np.testing.assert_array_equal(high, [NAN, 11, 12, NAN])


def test_a_record_can_be_cut_at_a_day() -> None:
    days = record([1, 2, 3])
    part = days.until(dt.date(2026, 12, 31))
    assert part is not None
    assert (part.first, part.last, part.source) == (FIRST, dt.date(2026, 12, 31), "logger")
    assert days.until(dt.date(2028, 1, 1)) is days
    assert days.until(dt.date(2026, 12, 29)) is None


def test_of_several_records_the_first_with_both_readings_counts() -> None:
    own = DailyTemps(FIRST, [1, 2, 3], [11, NAN, 13], "logger")
    station = record([-1, -2, -3, -4, -5], dt.date(2026, 12, 29), "station")
    both = merged([own, station])
    assert both is not None
    np.testing.assert_array_equal(both.low_c, [-1, 1, -3, 3, -5])
    np.testing.assert_array_equal(both.high_c, [9, 11, 7, 13, 5])
    assert both.source == "logger, station"


def test_a_gap_in_every_record_stays_a_gap() -> None:
    both = merged([record([1]), record([4], dt.date(2027, 1, 2))])
    assert both is not None
    assert list(both.gaps()) == [(dt.date(2026, 12, 31), dt.date(2027, 1, 1))]


def test_one_record_or_none_needs_no_merging() -> None:
    days = record([1])
    assert merged([days]) is days
    assert merged([]) is None


def test_minima_without_as_many_maxima_are_refused() -> None:
    with pytest.raises(ValueError, match="as many minima as maxima"):
        DailyTemps(FIRST, [1, 2], [3], "logger")


def test_the_coldest_night_of_some_days_is_found() -> None:
    days = record([3, NAN, -2, -5])
    last = dt.date(2027, 1, 1)
    assert days.coldest(FIRST, last) == (last, -2)
    assert days.coldest(FIRST, dt.date(2026, 12, 31)) == (FIRST, 3)
    assert days.coldest(dt.date(2026, 12, 31), dt.date(2026, 12, 31)) is None
    assert days.coldest(last, FIRST) is None
