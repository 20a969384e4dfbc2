import math

import numpy as np
import pytest

from propagate.errors import Refused
from propagate.science import timing


def test_half_have_rooted_at_the_median_whatever_the_scale():
    for scale in (0.05, 0.3, 2.0):
        assert timing.cdf(50.0, math.log(50.0), scale) == pytest.approx(0.5, abs=1e-15)


def test_share_and_day_are_inverse():
    shares = np.array([1e-6, 0.1, 0.5, 0.8, 0.999])
    days = timing.ppf(shares, math.log(40.0), 0.3)
    assert timing.cdf(days, math.log(40.0), 0.3) == pytest.approx(shares, rel=1e-12)


@pytest.mark.parametrize("within_share", [0.05, 0.5, 0.9, 1.0])
def test_ends_of_a_range_are_the_deciles_over_all_batches(within_share):
    """Summed over the batch's shift by Gauss-Hermite nodes, another rule than the module's."""
    law = timing.from_range(42.0, 70.0, within_share)
    nodes, weights = np.polynomial.hermite_e.hermegauss(120)
    for day, share in ((42.0, 0.1), (70.0, 0.9)):
        mean = law.log_days_mean + law.log_days_between * nodes
        reached = weights @ timing.cdf(day, mean, law.log_days_scale) / weights.sum()
        assert reached == pytest.approx(share, abs=2e-5)


def test_variance_is_split_as_asked():
    law = timing.from_range(30.0, 90.0, 0.3)
    within = law.log_days_scale**2 * math.pi**2 / 3
    assert within / (within + law.log_days_between**2) == pytest.approx(0.3, rel=1e-12)


def test_one_number_is_widened_to_two_thirds_and_half_as_much_again():
    assert timing.from_range(60.0, 60.0) == timing.from_range(40.0, 90.0)


def test_nought_days_is_read_as_half_a_day():
    assert timing.from_range(0.0, 14.0) == timing.from_range(0.5, 14.0)


@pytest.mark.parametrize(("low", "high"), [(10.0, 5.0), (-1.0, 5.0), (0.0, 0.0)])
def test_range_that_cannot_be_is_refused_with_its_numbers(low, high):
    with pytest.raises(Refused, match=f"got {low:g} to {high:g}"):
        timing.from_range(low, high)


def test_share_within_a_batch_must_be_a_share():
    with pytest.raises(Refused, match=r"got 1\.2"):
        timing.from_range(1.0, 2.0, 1.2)


def test_log_between_keeps_tiny_differences():
    """F(x + h) - F(x) is F (1 - F) h for small h; plain subtraction would give nought."""
    score, step = np.array([40.0]), 1e-9
    gap = timing.log_between(score, score + step)[0]
    assert gap == pytest.approx(math.log(step) - 40.0, rel=1e-6)


def test_log_between_of_nothing_is_finite():
    assert timing.log_between(np.array([1.0]), np.array([1.0]))[0] < -600
