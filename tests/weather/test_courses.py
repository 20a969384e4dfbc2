"""Courses the temperature may take: steady places, normals with their spread, years on record."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.records.nursery import Normals
from propagate.weather.courses import from_normals, from_years, steady
from propagate.weather.series import ONE_DAY, DailyTemps

NAN = float("nan")
LOW = (-1.0, -1, 1, 4, 8, 11, 13, 13, 10, 7, 3, 0)
HIGH = (4.0, 5, 9, 13, 18, 21, 23, 23, 19, 14, 8, 5)
NORMALS = Normals(LOW, HIGH, 1.5)


def telling(first: dt.date, last: dt.date) -> DailyTemps:
    """A record whose minima tell their own day: day of the month, and hundredths the month."""
    days = [first + ONE_DAY * n for n in range((last - first).days + 1)]
    low = np.array([day.day + day.month / 100 for day in days])
    return DailyTemps(first, low, np.array([day.year - 1980.0 for day in days]), "station")


def test_a_steady_place_has_one_future() -> None:
    low, high = steady((18, 21), 3)
    np.testing.assert_array_equal(low, [[18, 18, 18]])
    np.testing.assert_array_equal(high, [[21, 21, 21]])


def test_in_the_middle_of_a_month_its_normal_holds() -> None:
    """September has 30 days and April too, so the middle lies between two days."""
    for month in (4, 9):
        low, high = from_normals(NORMALS, dt.date(2027, month, 15), 2)
        assert low[2].mean() == pytest.approx(LOW[month - 1], abs=0.01)
        assert high[2].mean() == pytest.approx(HIGH[month - 1], abs=0.01)


def test_between_two_months_lies_their_mean() -> None:
    low, _ = from_normals(NORMALS, dt.date(2026, 12, 31), 2)
    assert low[2].mean() == pytest.approx((LOW[11] + LOW[0]) / 2, abs=0.02)


def test_the_seasons_of_the_normals_deviate_by_their_spread() -> None:
    low, high = from_normals(NORMALS, dt.date(2026, 11, 25), 400)
    assert low.shape == high.shape == (5, 400)
    np.testing.assert_allclose(low.std(axis=0), 1.5)
    np.testing.assert_allclose(low.mean(axis=0), low[2])
    np.testing.assert_allclose(np.diff(low - low[2], axis=1), 0, atol=1e-12)


def test_each_year_on_record_is_one_future() -> None:
    record = telling(dt.date(2023, 1, 1), dt.date(2026, 11, 24))
    low, high = from_years(record, dt.date(2026, 11, 25), 60)
    np.testing.assert_array_equal(high[:, 0], [45, 44, 43])  # 2025, 2024, 2023
    np.testing.assert_array_equal(high[:, 59], [46, 45, 44])
    np.testing.assert_allclose(low[:, 0], 25.11)
    np.testing.assert_allclose(low[:, 59], 23.01)


def test_after_a_year_a_future_goes_through_its_year_again() -> None:
    record = telling(dt.date(2024, 1, 1), dt.date(2026, 11, 24))
    first = dt.date(2026, 11, 25)
    low, high = from_years(record, first, 800)
    once, again = ((dt.date(year, 11, 24) - first).days for year in (2027, 2028))
    np.testing.assert_array_equal(high[:, once], [46, 45])
    np.testing.assert_array_equal(high[:, again], high[:, once])
    np.testing.assert_allclose(low[:, [0, once + 1, again + 1]], 25.11)


@given(
    first=st.dates(dt.date(2026, 1, 1), dt.date(2032, 12, 31)),
    ahead=st.integers(0, 1500),
    year=st.sampled_from([2023, 2024]),
)
def test_a_day_to_come_is_the_same_day_of_the_year(first, ahead, year) -> None:
    """29 February is the only day that not every year has; it is read on the 28th."""
    record = telling(dt.date(year, 1, 1), dt.date(year + 1, 12, 31))
    low, _ = from_years(record, first, ahead + 1)
    there = first + ONE_DAY * ahead
    expected = {there.day + there.month / 100}
    if (there.month, there.day) == (2, 29):
        expected.add(28.02)
    assert low.shape[0] >= 1
    for found in low[:, ahead][np.isfinite(low[:, ahead])]:
        assert any(found == pytest.approx(value) for value in expected)


def test_a_year_with_too_many_gaps_is_no_future_and_few_gaps_stay_gaps() -> None:
    record = telling(dt.date(2023, 1, 1), dt.date(2026, 12, 31))
    low_c = record.low_c.copy()
    low_c[[(dt.date(2024, 4, 10) - record.first).days, *range(10, 60)]] = NAN
    record = DailyTemps(record.first, low_c, record.high_c, "station")
    low, high = from_years(record, dt.date(2027, 1, 1), 365)
    np.testing.assert_array_equal(high[:, 0], [46, 45, 44])  # not 2023
    april = (dt.date(2027, 4, 10) - dt.date(2027, 1, 1)).days
    np.testing.assert_array_equal(np.argwhere(np.isnan(low)), [[2, april]])


def test_a_short_record_gives_no_future() -> None:
    record = telling(dt.date(2026, 6, 1), dt.date(2026, 11, 24))
    assert from_years(record, dt.date(2026, 11, 25), 30) is None


def test_of_a_long_record_the_latest_thirty_years_count() -> None:
    record = telling(dt.date(1985, 1, 1), dt.date(2026, 12, 31))
    low, high = from_years(record, dt.date(2027, 1, 1), 10)
    assert len(low) == 30
    assert high[:, 0].min() == 1997 - 1980
