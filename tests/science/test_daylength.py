import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science.daylength import day_hours

DAYS = st.integers(1, 366)


@given(st.floats(-90, 90), DAYS)
def test_both_hemispheres_share_the_24_hours(latitude, day):
    assert day_hours(latitude, day) + day_hours(-latitude, day) == pytest.approx(24)


@given(st.floats(0, 60), st.floats(0.1, 6))
def test_summer_days_grow_towards_the_pole(latitude, further):
    assert day_hours(latitude + further, 172) > day_hours(latitude, 172)


@given(st.floats(-90, 90))
def test_no_day_is_longer_than_24_hours_or_shorter_than_none(latitude):
    hours = day_hours(latitude, np.arange(1, 367))
    assert hours.shape == (366,)
    assert ((hours >= 0) & (hours <= 24)).all()


@pytest.mark.parametrize(
    ("latitude", "day", "hours"), [(90, 172, 24), (90, 355, 0), (-70, 172, 0), (-70, 355, 24)]
)
def test_polar_day_and_night(latitude, day, hours):
    assert day_hours(latitude, day) == hours


def test_a_latitude_that_is_none_is_refused():
    with pytest.raises(Refused, match="got 91"):
        day_hours(91, 1)
