"""Ranges in words."""

import pytest

from propagate.spans import time_words


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
