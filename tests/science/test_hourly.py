import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science.hourly import DayShape, hourly_temperatures

MINIMA = st.lists(st.floats(-15, 20), min_size=2, max_size=6)


@given(MINIMA, st.floats(0, 20), st.floats(0, 24))
def test_no_hour_leaves_the_range_of_the_days(minima, span, day_hours):
    low = np.array(minima)
    hourly = hourly_temperatures(low, low + span, day_hours).reshape(-1, 24)
    assert (hourly >= min(minima) - 1e-9).all()
    assert (hourly <= max(minima) + span + 1e-9).all()


@given(MINIMA, st.floats(1, 20), st.floats(0, 24))
def test_the_curve_has_no_jump(minima, span, day_hours):
    """No step of an hour exceeds what a sine over the shortest day, or a night's first hour, can
    do with the widest swing there is."""
    low = np.array(minima)
    hourly = hourly_temperatures(low, low + span, day_hours)
    swing = max(minima) + span - min(minima)
    assert np.abs(np.diff(hourly)).max() <= 0.55 * swing


def test_the_day_is_warmest_after_noon_and_coldest_near_sunrise():
    hourly = hourly_temperatures([5, 5, 5], [15, 15, 15], 12)[24:48]
    assert hourly.argmax() in (13, 14)
    assert hourly.argmin() == 5
    assert hourly.max() == pytest.approx(15, abs=0.05)
    assert hourly.min() == pytest.approx(5, abs=0.15)


def test_a_night_falls_to_the_minimum_of_the_next_day():
    hourly = hourly_temperatures([5, -5], [15, 15], 12)
    assert hourly[29] == pytest.approx(-5, abs=0.3)
    assert (np.diff(hourly[19:29]) < 0).all()


def test_a_steady_place_is_steady():
    assert hourly_temperatures([8, 8], [8, 8], [3, 22]) == pytest.approx(np.full(48, 8))


def test_another_place_peaks_at_its_own_hour():
    late = hourly_temperatures(10, 20, 12, DayShape(4.5, 0.0, 2.2))
    assert late.argmax() == 16


def test_a_missing_day_blanks_itself_and_the_nights_beside_it():
    hourly = hourly_temperatures([5, np.nan, 5], [15, 15, 15], 12)
    assert np.isnan(hourly[24:48]).all()
    assert not np.isnan(hourly[6:18]).any()
    assert np.isnan(hourly[20])
    assert not np.isnan(hourly[56:]).any()


def test_unlike_lengths_are_refused():
    with pytest.raises(Refused, match="3 minima do not belong to 2 maxima"):
        hourly_temperatures([1, 2, 3], [5, 6], 12)
