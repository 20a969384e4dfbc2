import math

import pytest

from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.take import beta_from_range
from propagate.science.timing import from_range


def test_a_record_in_weeks_becomes_a_law_in_days():
    prior = prior_from_ranges(6, 10, 0.6, 0.8, delay_days=28)
    a, b = beta_from_range(0.6, 0.8)
    times = from_range(42, 70)
    assert prior.take_mean == pytest.approx(a / (a + b))
    assert prior.log_days_mean == times.log_days_mean
    assert (prior.log_days_scale, prior.log_days_between) == (
        times.log_days_scale,
        times.log_days_between,
    )


def test_age_counts_from_the_end_of_the_treatments_and_never_below_half_a_day():
    prior = prior_from_ranges(6, 10, 0.6, 0.8, delay_days=28)
    assert [prior.age_days(day) for day in (0, 28, 30)] == [0.5, 0.5, 2.0]


def test_failers_die_before_takers_root():
    prior = prior_from_ranges(6, 10, 0.6, 0.8)
    ratio = math.exp(prior.failer_log_days_mean - prior.log_days_mean)
    assert ratio == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("take_mean", 1.0),
        ("take_precision_shared", 0.0),
        ("take_precision_batch", math.inf),
        ("log_days_scale", 0.0),
        ("log_days_between", -0.1),
        ("delay_days", -1.0),
    ],
)
def test_a_law_that_cannot_be_is_refused(name, value):
    numbers = {
        "take_mean": 0.7,
        "take_precision_shared": 20.0,
        "take_precision_batch": 20.0,
        "log_days_mean": 4.0,
        "log_days_scale": 0.1,
        "log_days_between": 0.1,
    }
    with pytest.raises(ValueError, match=name):
        Prior(**{**numbers, name: value})
