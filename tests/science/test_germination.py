import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science.germination import course

COUNTS = st.lists(st.integers(0, 30), min_size=1, max_size=20).filter(any)


def daily(counts):
    return course(range(1, len(counts) + 1), counts, sum(counts) + 3)


@given(COUNTS)
def test_every_time_lies_between_the_first_and_the_last_seeds(counts):
    test = daily(counts)
    assert test.first_day <= test.mean_days <= test.last_day
    assert test.first_day <= test.peak_day <= test.last_day
    for half in (test.half_days_farooq, test.half_days_coolbear):
        assert test.first_day - 1 <= half <= test.last_day
    assert test.half_days_farooq <= test.half_days_coolbear


@given(COUNTS, st.floats(0.01, 1), st.floats(0.01, 1))
def test_more_seeds_take_longer(counts, one, other):
    test = daily(counts)
    small, large = sorted((one, other))
    assert test.days_to_share(small) <= test.days_to_share(large) + 1e-9
    assert test.days_to_share(1) == test.last_day


@given(COUNTS)
def test_half_is_a_share_like_any_other(counts):
    test = daily(counts)
    assert test.days_to_share(0.5) == pytest.approx(test.half_days_farooq)


@given(COUNTS)
def test_figures_from_counts_are_those_from_single_seeds(counts):
    test = daily(counts)
    seeds = np.repeat(np.arange(1, len(counts) + 1), counts)
    assert test.mean_days == pytest.approx(seeds.mean())
    same = sum(a == b for i, a in enumerate(seeds[:40]) for b in seeds[:i])
    if seeds.size == 1:
        assert math.isnan(test.variance_days2)
        assert math.isnan(test.synchrony)
    else:
        assert test.variance_days2 == pytest.approx(seeds.var(ddof=1))
    if 1 < seeds.size <= 40:
        assert test.synchrony == pytest.approx(same / math.comb(seeds.size, 2))


@given(COUNTS)
def test_timsons_sum_counts_the_days_each_seed_was_up(counts):
    """A seed up on day t of n has been up for n - t + 1 days, its own included."""
    test = daily(counts)
    up = sum(count * (len(counts) - day) for day, count in enumerate(counts))
    assert test.timson() == pytest.approx(100 * up / test.sown)
    assert test.timson_labouriau() == pytest.approx(up / test.germinated)


def test_seeds_on_one_day_are_certain_and_in_step():
    test = course([3, 5], [0, 12], 20)
    assert (test.uncertainty_bits, test.synchrony, test.spread_days) == (0, 1, 0)
    assert test.variance_days2 == 0


def test_seeds_spread_evenly_over_days_have_the_most_entropy():
    assert course([1, 2, 3, 4], [5, 5, 5, 5], 20).uncertainty_bits == pytest.approx(2)


def test_days_between_counts_belong_to_the_count_before():
    """Counted on days 2 and 5: 0, 4, 4, 4, 10 up at the end of days 1 to 5."""
    assert course([2, 5], [4, 6], 10).timson() == pytest.approx(220)


def test_uniformity_is_the_time_of_the_middle_half():
    test = course([2, 4], [10, 10], 20)
    assert test.uniformity_days() == pytest.approx(2)
    assert test.uniformity_days(0.5, 1) == pytest.approx(2)


@pytest.mark.parametrize(
    ("days", "counts", "sown", "said"),
    [
        ([1, 2], [1], 5, "1 counts do not belong to 2 days"),
        ([], [], 5, "do not belong"),
        ([2, 1], [1, 1], 5, "ascend"),
        ([0, 1], [1, 1], 5, "ascend"),
        ([1, 2], [1, -1], 5, "whole number"),
        ([1, 2], [1, 0.5], 5, "whole number"),
        ([1, 2], [3, 3], 5, "6 germinated of 5"),
        ([1, 2], [0, 0], 5, "0 germinated"),
    ],
)
def test_counts_that_cannot_be_are_refused(days, counts, sown, said):
    with pytest.raises(Refused, match=said):
        course(days, counts, sown)


def test_questions_outside_the_test_are_refused():
    test = course([1, 5], [0, 4], 5)
    with pytest.raises(Refused, match="day 6 is none"):
        test.timson(6)
    with pytest.raises(Refused, match="by day 4"):
        test.timson_labouriau(4)
    with pytest.raises(Refused, match="got 0"):
        test.days_to_share(0)
