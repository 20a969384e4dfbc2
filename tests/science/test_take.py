import math

import pytest

from propagate.errors import Refused
from propagate.science.take import beta_cdf, beta_from_range, split_take


def test_beta_of_one_and_one_is_the_straight_line():
    assert [beta_cdf(x, 1, 1) for x in (0.0, 0.25, 0.9, 1.0)] == pytest.approx([0, 0.25, 0.9, 1])


def test_power_law_by_hand():
    """Beta(a, 1) has the distribution function x^a."""
    assert beta_cdf(0.3, 2.5, 1) == pytest.approx(0.3**2.5, rel=1e-13)


@pytest.mark.parametrize(
    ("low", "high"), [(0.6, 0.8), (0.01, 0.99), (0.0, 0.3), (0.9, 1.0), (0.7, 0.71), (0.02, 0.04)]
)
def test_ends_of_a_range_are_the_deciles(low, high):
    a, b = beta_from_range(low, high)
    inside = (max(low, 0.01), min(high, 0.99))
    assert [beta_cdf(end, a, b) for end in inside] == pytest.approx([0.1, 0.9], abs=1e-9)


def test_one_number_is_widened_to_half_and_double_its_odds():
    assert beta_from_range(0.5, 0.5) == pytest.approx(beta_from_range(1 / 3, 2 / 3), rel=1e-9)


def test_mirrored_range_gives_the_mirrored_law():
    a, b = beta_from_range(0.1, 0.4)
    assert beta_from_range(0.6, 0.9) == pytest.approx((b, a), rel=1e-9)


@pytest.mark.parametrize(("low", "high"), [(0.8, 0.6), (-0.1, 0.5), (0.5, 60.0)])
def test_range_that_cannot_be_is_refused_with_its_numbers(low, high):
    with pytest.raises(Refused, match=f"got {low:g} to {high:g}"):
        beta_from_range(low, high)


def test_split_keeps_the_variance_of_a_batch():
    """Var p = Var m + E[m (1 - m)] / (phi + 1), both from the split, equals that of Beta(a, b)."""
    a, b = 6.0, 3.0
    split = split_take(a, b, 0.4)
    of_shared = split.mean * (1 - split.mean) / (split.precision_shared + 1)
    own = (split.mean * (1 - split.mean) - of_shared) / (split.precision_batch + 1)
    whole = a * b / ((a + b) ** 2 * (a + b + 1))
    assert of_shared + own == pytest.approx(whole, rel=1e-12)
    assert of_shared / whole == pytest.approx(0.4, rel=1e-12)


def test_nothing_shared_leaves_the_record_as_it_is():
    split = split_take(6.0, 3.0, 0.0)
    assert math.isinf(split.precision_shared)
    assert split.precision_batch == pytest.approx(9.0)


def test_all_shared_is_refused():
    with pytest.raises(Refused, match="got 1"):
        split_take(6.0, 3.0, 1.0)
