"""Ranges in words."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.spans import time_words, whole_parts


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (6, 12, "6 to 12 weeks"),
        (2.5, 4, "2.5 to 4 weeks"),
        (8, 8, "8 weeks"),
        (0.86, 2, "6 to 14 days"),
        (8.6, 12.9, "60 to 90 days"),
        (1.43, 1.43, "10 days"),
    ],
)
def test_weeks_that_are_none_are_told_in_days(low: float, high: float, words: str) -> None:
    assert time_words(low, high) == words


def test_the_day_a_trial_was_scored_is_the_most_that_it_took() -> None:
    assert time_words(5.7, 5.7, scored=True) == "40 days at most"


def test_parts_of_a_whole_are_rounded_so_that_they_still_make_it() -> None:
    assert whole_parts([5.53, 8.71, 92.64, 13.12]) == [
        5,
        9,
        93,
        13,
    ]  # else 121
    assert whole_parts([]) == []


@given(st.integers(0, 500), st.lists(st.floats(0.01, 1), min_size=1, max_size=8))
def test_no_part_is_rounded_by_one_or_more(whole: int, shares: list[float]) -> None:
    parts = [whole * share / math.fsum(shares) for share in shares]
    rounded = whole_parts(parts)
    assert sum(rounded) == whole
    assert all(abs(made - part) < 1 + 1e-9 for made, part in zip(rounded, parts, strict=True))
