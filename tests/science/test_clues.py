import math

import numpy as np
import pytest

from propagate.science.clues import Clue, chain, clue_table, thin


def test_at_least_is_a_yes_or_no_for_each_count():
    assert Clue(30.0, left=2).chance(4) == pytest.approx([0, 0, 1, 1, 1])


def test_sample_by_hand():
    """Two lifted of four: one of them rooted, when j of the four are."""
    chances = Clue(30.0, left=0, lifted=2, rooted=1).chance(4)
    assert chances == pytest.approx([0, 3 / 6, 4 / 6, 3 / 6, 0])


def test_known_rooted_ones_in_the_tray_dilute_a_sample():
    """Three known rooted and one waiting, two lifted, both rooted: 3 of 6 pairs, or all 6."""
    chances = Clue(30.0, left=0, lifted=2, rooted=2, known_in_tray=3).chance(1)
    assert chances == pytest.approx([0.5, 1.0])


def test_those_that_left_are_not_in_the_tray():
    """Five unresolved, two left rooted: of the three in the tray, j - 2 are rooted."""
    chances = Clue(30.0, left=2, lifted=1, rooted=1).chance(5)
    assert chances == pytest.approx([0, 0, 0, 1 / 3, 2 / 3, 1])


def test_sample_of_more_than_removals_left_tells_nothing():
    assert Clue(30.0, left=0, lifted=9, rooted=4).chance(5) == pytest.approx(np.ones(6))


def test_sample_chances_sum_to_one_over_what_may_be_found():
    chances = sum(Clue(30.0, 1, 5, found, known_in_tray=2).chance(12) for found in range(6))
    assert chances[1:] == pytest.approx(1.0)


def test_thinning_is_a_binomial_mean():
    f = np.array([[1.0], [5.0], [2.0], [7.0]])
    v = 0.3
    by_hand = [
        sum(math.comb(j, i) * v**i * (1 - v) ** (j - i) * f[i, 0] for i in range(j + 1))
        for j in range(4)
    ]
    assert thin(f, np.array([v]))[:, 0] == pytest.approx(by_hand, rel=1e-14)


def test_chain_of_one_day_is_the_product():
    clues = (Clue(30.0, 2), Clue(30.0, 2, lifted=2, rooted=1))
    found = chain(clues, 5, 1e-9, np.array([4.0]), 0.2)[:, 0]
    assert found == pytest.approx(clues[0].chance(5) * clues[1].chance(5))


@pytest.mark.parametrize("least", [1, 3, 20, 30])
def test_chance_of_a_clue_is_read_off_close_to_the_sum(least):
    rate = np.array([[1e-9], [1e-4], [0.02], [0.3], [0.55], [0.8], [0.999]])
    tail = Clue(30.0, left=least).chance(40)[:, None]
    exact = [
        math.log(sum(math.comb(40, k) * r**k * (1 - r) ** (40 - k) for k in range(least, 41)))
        for r in rate[:, 0]
    ]
    assert clue_table(tail).log_chance(rate)[:, 0] == pytest.approx(exact, abs=0.02)


def test_counts_under_an_unlikely_clue_still_sum_to_one():
    """All the weight stands on a rate of nought, where at least three then means three."""
    table = clue_table(Clue(30.0, left=3).chance(40)[:, None])
    weights = np.zeros((1, 1, len(table.scaled)))
    weights[0, 0, 0] = 1.0
    assert table.mixed_counts(weights)[0] == pytest.approx(np.eye(41)[3])
