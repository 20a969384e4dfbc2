import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from propagate.errors import Refused
from propagate.science import warmth

TEMPERATURES = st.floats(-30, 50)
SPANS = st.floats(0, 35)
MIDDLES = (np.arange(20_000) + 0.5) / 20_000  # of equal parts of half a day


def sine(low: float, high: float, part: np.ndarray) -> np.ndarray:
    """Temperature along the rising half of a sine, `part` from 0 to 1."""
    return (low + high) / 2 - (high - low) / 2 * np.cos(math.pi * part)


def trapezoid(temperature, response):
    """The response in words of its four temperatures, by linear interpolation."""
    ends = [
        response.base_c,
        response.reference_c,
        response.optimum_end_c,
        response.ceiling_c,
    ]
    return np.interp(temperature, ends, [0, 1, 1, 0])


@given(TEMPERATURES, SPANS, TEMPERATURES)
def test_the_excess_is_the_mean_of_what_lies_over_the_threshold(low, span, threshold):
    over = np.maximum(sine(low, low + span, MIDDLES) - threshold, 0).mean()
    assert warmth.sine_excess(low, low + span, threshold) == pytest.approx(over, abs=1e-5)
    straight = np.maximum(low + span * MIDDLES - threshold, 0).mean()
    found = warmth.triangle_excess(low, low + span, threshold)
    assert found == pytest.approx(straight, abs=1e-5)


@given(TEMPERATURES, SPANS, TEMPERATURES)
def test_the_share_below_is_the_time_below(low, span, threshold):
    below = (sine(low, low + span, MIDDLES) < threshold).mean()
    if abs(threshold - low) > 1e-6 or span > 0.01:
        found = warmth.sine_share_below(low, low + span, threshold)
        assert found == pytest.approx(below, abs=2e-4)


@given(TEMPERATURES, SPANS, st.floats(0, 15), st.floats(1, 25))
def test_methods_agree_where_no_threshold_is_crossed(low, span, under, over):
    """Between the thresholds every method counts the mean less the lower threshold."""
    high = low + span
    lower, upper = low - under, high + over
    expected = pytest.approx((low + high) / 2 - lower, abs=1e-9)
    for method in (
        warmth.single_sine,
        warmth.single_triangle,
        warmth.average_mean_clipped,
        warmth.average_ends_clipped,
    ):
        assert method(low, high, lower, upper) == expected
    assert warmth.double_sine(low, high, low, lower, upper) == expected
    assert warmth.quarter_rule(low, high, lower) == expected


@given(TEMPERATURES, SPANS, TEMPERATURES, st.floats(1, 30))
def test_a_day_counts_no_more_than_the_gap_of_the_thresholds(low, span, lower, gap):
    for method in (warmth.single_sine, warmth.single_triangle, warmth.average_ends_clipped):
        counted = method(low, low + span, lower, lower + gap)
        assert -1e-9 <= counted <= gap + 1e-9


@given(TEMPERATURES, SPANS, TEMPERATURES, st.floats(1, 30))
def test_clipping_the_ends_never_counts_less_than_clipping_the_mean(low, span, lower, gap):
    day = (low, low + span, lower)
    ends, mean = warmth.average_ends_clipped(*day), warmth.average_mean_clipped(*day)
    assert ends >= mean - 1e-9


def test_a_double_sine_takes_the_next_night_into_account():
    days = [5.0, 15.0], [20.0, 20.0], [15.0, 5.0]
    found = warmth.double_sine(*days, 10)
    assert found[0] == pytest.approx(found[1])
    alone = warmth.single_sine([5.0, 15.0], [20.0, 20.0], 10)
    assert found[0] == pytest.approx(alone.mean())


@given(
    TEMPERATURES,
    SPANS,
    st.floats(-5, 15),
    st.floats(0.5, 20),
    st.floats(0, 10),
    st.floats(0.5, 15),
)
def test_a_day_of_the_clock_is_the_integral_of_its_response(low, span, base, rise, flat, fall):
    response = warmth.WarmthResponse(
        base, base + rise, base + rise + flat, base + rise + flat + fall
    )
    mean = trapezoid(sine(low, low + span, MIDDLES), response).mean()
    assert response.daily(low, low + span) == pytest.approx(mean, abs=1e-5)


@pytest.mark.parametrize(("low", "high"), [(2, 18), (10, 38), (20, 45), (-5, 60)])
def test_the_closed_form_is_exact_to_rounding(low, high):
    """Against adaptive quadrature told where the response bends."""
    response = warmth.WarmthResponse(5, 20, 28, 38)
    bends = [
        math.acos(1 - 2 * (t - low) / (high - low)) / math.pi
        for t in (5, 20, 28, 38)
        if low < t < high
    ]
    exact, _ = quad(
        lambda part: float(trapezoid(sine(low, high, part), response)),
        0,
        1,
        points=bends,
        epsabs=1e-13,
        limit=200,
    )
    assert response.daily(low, high) == pytest.approx(exact, abs=1e-12)


@pytest.mark.parametrize(
    ("temperature", "counted"), [(4, 0), (5, 0), (12.5, 0.5), (20, 1), (28, 1), (33, 0.5), (38, 0)]
)
def test_the_response_rises_is_flat_and_falls(temperature, counted):
    assert warmth.WarmthResponse(5, 20, 28, 38).rate(temperature) == pytest.approx(counted)


def test_days_come_in_any_shape_and_missing_ones_stay_missing():
    response = warmth.WarmthResponse(5, 20, 28, 38)
    low = np.array([[5.0, np.nan], [20.0, 0.0]])
    counted = response.daily(low, low + 5)
    assert counted.shape == (2, 2)
    assert np.isnan(counted[0, 1])
    assert counted[1, 0] == pytest.approx(1)


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: warmth.WarmthResponse(20, 5, 28, 38), "must ascend; got 20, 5, 28 and 38"),
        (lambda: warmth.WarmthResponse(5, 20, 28, 28), "must ascend"),
        (lambda: warmth.WarmthResponse(5, 20, 28, math.inf), "must ascend"),
        (lambda: warmth.single_sine(9, 4, 5), "minimum of 9 °C is above its maximum of 4"),
        (lambda: warmth.single_triangle(4, 9, 12, 10), "12 °C is not below 10"),
    ],
)
def test_what_cannot_be_is_refused(made, said):
    with pytest.raises(Refused, match=said):
        made()
