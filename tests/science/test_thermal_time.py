import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science.thermal_time import ThermalTime, fit_clock, fit_thermal_time
from propagate.science.warmth import WarmthResponse


@given(st.floats(-5, 10), st.floats(20, 300))
def test_a_line_without_scatter_is_found_again(base, degree_days):
    warmth = base + np.array([3.0, 8.0, 12.0, 20.0])
    fitted = fit_thermal_time(warmth, ThermalTime(base, degree_days, 1).days_at(warmth))
    assert fitted.base_c == pytest.approx(base, abs=1e-6)
    assert fitted.degree_days == pytest.approx(degree_days)
    assert fitted.r_squared == pytest.approx(1)


@given(st.floats(-5, 8), st.floats(18, 24), st.floats(2, 60))
def test_a_clock_without_scatter_is_found_again(base, reference, days):
    truth = WarmthResponse(base, reference, 30, 40)
    warmth = np.array([9.0, 13.0, 17.0, 25.0, 29.0, 35.0])
    fitted = fit_clock(warmth, days / truth.rate(warmth), optimum_end_c=30, ceiling_c=40)
    assert fitted.response.base_c == pytest.approx(base, abs=0.25)
    # Where the base lies within a degree of the coldest trial, its own step of 0.1 tilts the line.
    assert fitted.response.reference_c == pytest.approx(reference, abs=0.5)
    assert fitted.reference_days == pytest.approx(days, rel=0.02)
    assert fitted.log_days_deviation < 0.02
    assert fitted.days_at(warmth) == pytest.approx(days / truth.rate(warmth), rel=0.05)


def test_weight_draws_the_fit_to_its_point():
    warmth, days = [10, 15, 20, 25], [20, 10, 5, 9]
    ends = {"optimum_end_c": 25, "ceiling_c": 35}
    drawn = fit_clock(warmth, days, weights=[1, 1, 1, 50], **ends)
    plain = fit_clock(warmth, days, **ends)
    assert abs(drawn.days_at(25) - 9) < abs(plain.days_at(25) - 9)


def test_at_or_below_the_base_it_takes_for_ever():
    assert ThermalTime(5, 100, 1).days_at([4, 5, 15]).tolist() == [math.inf, math.inf, 10]
    fitted = fit_clock([10, 20, 30], [20, 10, 5], optimum_end_c=30, ceiling_c=40)
    assert fitted.days_at([-50, 41]).tolist() == [math.inf, math.inf]


@pytest.mark.parametrize(
    ("warmth", "days", "said"),
    [
        ([10], [5], "two temperatures"),
        ([10, 10], [5, 6], "two temperatures"),
        ([10, 20], [5], "two temperatures"),
        ([10, 20], [5, 0], "above nought"),
        ([10, 20], [5, math.nan], "above nought"),
        ([10, 20], [5, 9], "shorter with warmth"),
    ],
)
def test_times_that_fit_no_line_are_refused(warmth, days, said):
    with pytest.raises(Refused, match=said):
        fit_thermal_time(warmth, days)


@pytest.mark.parametrize("warmth", [[10, 20], [10, 20, 41]])
def test_a_clock_needs_three_temperatures_below_its_ceiling(warmth):
    with pytest.raises(Refused, match="three temperatures"):
        fit_clock(warmth, [9.0] * len(warmth), optimum_end_c=30, ceiling_c=40)
