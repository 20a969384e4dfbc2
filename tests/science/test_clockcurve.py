import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science.clockcurve import ClockCurve

DAILY = st.lists(st.one_of(st.just(0.0), st.floats(0.01, 2)), min_size=1, max_size=40)


@given(DAILY, st.floats(0.05, 2), st.floats(0, 100))
def test_there_and_back_is_the_same_clock_time(daily, beyond, calendar_days):
    clock = ClockCurve.of_days(daily, rate_beyond=beyond)
    shown = clock.day_of(calendar_days)
    back = clock.calendar_of(shown)
    assert back <= calendar_days + 1e-9
    assert clock.day_of(back) == pytest.approx(float(shown), abs=1e-9)


@given(DAILY, st.floats(0, 2), st.lists(st.floats(0, 100), min_size=2, max_size=10))
def test_a_clock_never_runs_backwards(daily, beyond, days):
    clock = ClockCurve.of_days(daily, rate_beyond=beyond)
    days = sorted(days)
    assert (np.diff(clock.day_of(days)) >= -1e-12).all()
    shown = [0, *np.linspace(0.1, 60, 20)]
    reached = clock.calendar_of(shown)
    assert (np.diff(reached[np.isfinite(reached)]) >= -1e-12).all()


def test_readings_inside_between_and_beyond_the_known_days():
    clock = ClockCurve.of_days([1, 0, 0.5], rate_beyond=0.25)
    assert clock.day_of([-3, 0, 0.5, 1.5, 2.5, 3, 7]) == pytest.approx(
        [0, 0, 0.5, 1, 1.25, 1.5, 2.5]
    )
    assert clock.calendar_of([-1, 0, 0.5, 1, 1.25, 1.5, 2.5]) == pytest.approx(
        [0, 0, 0.5, 1, 2.5, 3, 7]
    )


def test_a_clock_that_stands_still_answers_with_the_day_it_got_there():
    clock = ClockCurve.of_days([0, 0, 1, 0, 0], rate_beyond=0)
    assert clock.calendar_of(0) == 0
    assert clock.calendar_of(1) == 3
    assert clock.calendar_of(1.01) == math.inf


def test_beyond_the_known_days_it_goes_on_at_their_mean():
    assert ClockCurve.of_days([1, 0.5]).day_of(4) == pytest.approx(3)


def test_the_calendar_is_a_clock_too():
    calendar = ClockCurve.of_days([], rate_beyond=1)
    assert calendar.day_of([0, 2.5, 40]) == pytest.approx([0, 2.5, 40])
    assert calendar.calendar_of([0, 2.5, 40]) == pytest.approx([0, 2.5, 40])


@given(DAILY, st.integers(0, 50), st.floats(0, 60))
def test_a_clock_set_later_shows_the_difference(daily, later, days):
    clock = ClockCurve.of_days(daily, rate_beyond=0.5)
    shown = float(clock.day_of(later + days) - clock.day_of(later))
    assert clock.later(later).day_of(days) == pytest.approx(shown, abs=1e-9)


@pytest.mark.parametrize("daily", [[1, -0.1], [1, math.nan], [1, math.inf]])
def test_days_that_cannot_be_are_refused(daily):
    with pytest.raises(Refused, match="nought or more"):
        ClockCurve.of_days(daily)


def test_a_clock_without_days_or_rate_is_refused_and_none_is_set_earlier():
    with pytest.raises(Refused, match="a day to run by"):
        ClockCurve.of_days([])
    with pytest.raises(Refused, match="not 2 days earlier"):
        ClockCurve.of_days([1]).later(-2)
