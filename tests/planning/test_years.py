"""Targets over the years: the soonest, and the smallest share of plants to keep for it."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.names import parse
from propagate.planning.years import Lineage, goal, years_ahead
from propagate.science.generations import Life

TODAY = dt.date(2024, 2, 29)
SURE_LIFE = Life(yield_low=10, yield_high=10, after_years=1, mother_stays=1.0, young_lives=1.0)


@pytest.fixture
def line() -> Lineage:
    """One mother that gives ten a year, all of which become plants; nothing is left to chance."""
    return Lineage(parse("Ribes nigrum"), "way", 1, SURE_LIFE, (1.0,), ("said",))


def test_what_one_mother_gives_needs_none_kept(line) -> None:
    assert (goal(line, 10, 0.8).years, goal(line, 10, 0.8).keeps) == (1, (0.0,))
    assert goal(line, 20, 0.8).years == 2
    assert goal(line, 20, 0.8).keeps == (0.0, 0.0)


def test_more_than_that_needs_some_kept(line) -> None:
    """All ten kept, eleven mothers give 110 in the second year; 60 need far fewer."""
    assert goal(line, 110, 0.8).keeps[0] ** 10 >= 0.8  # every one of ten, 8 times in 10
    found = goal(line, 60, 0.8)
    assert found.years == 2
    assert found.chance >= 0.8
    # One kept is one fewer out, and ten more next year: 20 + 9 k >= 60 from five on.
    assert 0.45 < found.keeps[0] < 0.7


def test_the_third_year_multiplies_again(line) -> None:
    assert goal(line, 111, 0.8).years == 3
    assert goal(line, 1210, 0.8).years == 3  # 1 + 10, + 110 mothers, all of whose plants go
    assert goal(line, 1211, 0.8).years == 4


def test_a_target_out_of_reach_says_so(line) -> None:
    barren = evolve(line, life=evolve(SURE_LIFE, yield_low=0, yield_high=0))
    found = goal(barren, 5, 0.8)
    assert (found.years, found.chance) == (None, 0.0)


def test_slow_plants_are_kept_only_while_there_is_time(line) -> None:
    """Mothers after three years: of five years' plants the first two years' can still serve."""
    slow = evolve(line, life=evolve(SURE_LIFE, after_years=3))
    assert goal(slow, 51, 0.8).keeps[2:] == (0.0,) * (goal(slow, 51, 0.8).years - 2)


def test_the_years_as_they_are_told(line) -> None:
    answer = years_ahead(line, (1.0, 0.0), TODAY, 0.8)
    first, second = answer.years
    assert (first.by, second.by) == (dt.date(2025, 2, 28), dt.date(2026, 2, 28))
    assert (first.made.likely, first.kept, first.out.likely) == (10, pytest.approx(10), 0)
    assert (second.mothers, second.made.likely, second.out.likely) == (11, 110, 110)
    assert answer.growth == pytest.approx(11)  # each mother stays and gives ten
