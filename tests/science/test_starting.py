"""Numbers to start, against beta-binomial laws, counting one by one, and handbooks."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import betabinom, binom

from propagate.science.backwards import smallest_start
from propagate.science.grid import NOTHING_IN_COMMON, SharedNodes
from propagate.science.starting import (
    CHANCES,
    IN_TIME,
    chances_given,
    chances_of,
    counts_of,
    in_time,
    smallest_for_shortage,
    smallest_starts,
    takes_of,
)


def known(chance: float) -> np.ndarray:
    """The law of a chance that is known, on the grid."""
    law = np.zeros((1, len(CHANCES)))
    law[0, round(chance * (len(CHANCES) - 1))] = 1.0
    return law


def nodes(*takes: float, precision: float = 20.0) -> SharedNodes:
    odds = np.log(np.array(takes) / (1 - np.array(takes)))
    first = np.zeros(len(takes), dtype=int)
    return SharedNodes(odds, np.full(len(takes), precision), first, first, NOTHING_IN_COMMON)


ALL_IN_TIME = np.eye(len(IN_TIME))[-1][None, None]


@pytest.mark.parametrize("take", [0.3, 0.6, 0.85])
@pytest.mark.parametrize("wanted", [1, 12, 40])
def test_the_number_is_that_of_the_beta_binomial_law(take, wanted) -> None:
    takes = takes_of(nodes(take), np.ones(1), None)
    (found,) = smallest_starts(chances_of(takes.by_early(1), ALL_IN_TIME), wanted, 0.9, 5000)
    exact = smallest_start(
        wanted, 0.9, lambda n: betabinom.pmf(range(n + 1), n, take * 20, (1 - take) * 20)
    )
    assert found == exact


def test_counts_are_beta_binomial_and_keep_their_mean() -> None:
    takes = takes_of(nodes(0.6), np.ones(1), None)
    law = counts_of(chances_given(takes, ALL_IN_TIME[0]), 30)[0]
    assert np.allclose(law, betabinom.pmf(range(31), 30, 12, 8), atol=2e-4)
    assert law @ np.arange(31) == pytest.approx(18, abs=1e-3)


def test_establishing_and_rooting_in_time_multiply() -> None:
    takes = takes_of(nodes(0.6), np.ones(1), (30.0, 10.0))
    half = in_time(np.array([[[0.5]]]), np.ones((1, 1, 1)))
    law = chances_of(takes.by_early(1), half)[0]
    assert law.sum() == pytest.approx(1)
    assert law @ CHANCES == pytest.approx(0.6 * 0.75 * 0.5, abs=1e-6)


def test_chances_given_mix_to_the_whole() -> None:
    weight = np.array([0.3, 0.7])
    takes = takes_of(nodes(0.4, 0.8), weight, (9.0, 1.0))
    rooting = in_time(np.array([[[0.2, 0.9]]]), np.array([[[0.5, 0.5]]]))
    mixed = weight @ chances_given(takes, rooting[0])
    assert np.allclose(mixed, chances_of(takes.by_early(1), rooting)[0])


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from([0.25, 0.5, 0.75, 0.9]),
    st.lists(st.integers(0, 9), min_size=2, max_size=7).filter(any),
    st.sampled_from([0.5, 0.8, 0.95]),
)
def test_an_uncertain_shortage_is_met_by_the_fewest(chance, parts, asked) -> None:
    short = np.array(parts) / sum(parts)

    def reached(count: int) -> float:
        return sum(s * binom.sf(m - 1, count, chance) for m, s in enumerate(short))

    (found,) = smallest_for_shortage(known(chance)[:, :, None] * short, asked, 5000)
    assert reached(found) >= asked - 1e-9
    assert found == 0 or reached(found - 1) < asked


def test_what_takes_four_times_the_best_week_is_left_out() -> None:
    laws = np.concatenate([known(0.8), known(0.1), known(0.0)])
    found = smallest_starts(laws, 10, 0.9, 5000)
    assert found[0] > 10
    assert found.tolist()[1:] == [0, 0]


def test_nothing_wanted_needs_nothing() -> None:
    assert smallest_starts(known(0.5), 0, 0.9, 100).tolist() == [0]
