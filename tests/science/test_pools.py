"""Wants on one pool, against counting every outcome one by one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.science.pools import chance_to_fill, left_over, served

weights = st.lists(st.integers(0, 9), min_size=1, max_size=9).filter(any)


def law(parts) -> np.ndarray:
    return np.array(parts) / sum(parts)


@given(weights, st.integers(0, 12))
def test_what_is_left_is_counted_outcome_by_outcome(parts, kept) -> None:
    pmf = law(parts)
    counted = np.zeros(len(pmf))
    for number, chance in enumerate(pmf):
        counted[max(0, number - kept)] += chance
    left = left_over(pmf, kept)
    assert np.allclose(left, counted[: len(left)])
    assert counted[len(left) :].sum() == pytest.approx(0)


@given(weights, st.integers(0, 6), st.integers(0, 6))
def test_a_want_gets_what_is_left_up_to_its_own(parts, kept, wanted) -> None:
    pmf = law(parts)
    counted = np.zeros(wanted + 1)
    for number, chance in enumerate(pmf):
        counted[min(wanted, max(0, number - kept))] += chance
    assert np.allclose(served(pmf, kept, wanted), counted)


def test_leading_axes_are_kept_apart() -> None:
    pmf = np.array([[0.2, 0.8], [0.6, 0.4]])
    assert np.allclose(served(pmf, 0, 1), pmf)
    assert np.allclose(left_over(pmf, 1), [[1], [1]])


def test_fresh_plants_make_good_what_is_short_given_what_is_shared() -> None:
    """Two nodes. At the first 0 or 2 are short, half each, and 2 come surely; at the second one
    is short and none comes. 0.3 x 1 + 0.7 x 0 = 0.3."""
    short = np.array([[0.5, 0, 0.5], [0, 1, 0]])
    fresh = np.array([[0, 0, 1.0], [1.0, 0, 0]])
    assert chance_to_fill(short, fresh, np.array([0.3, 0.7])) == pytest.approx(0.3)


def test_nothing_short_needs_nothing() -> None:
    assert chance_to_fill(np.array([[1.0, 0.0]]), np.array([[1.0]]), np.ones(1)) == 1
