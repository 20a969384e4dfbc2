import math

import numpy as np
import pytest

from propagate.science.clues import Clue, chain, log_sample_deaths, thin


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


def _drawn(takers, failers, lifted, rooted, dead, share, gone):
    """P(rooted, dead) of a sample: every split of the lifted into takers and failers."""
    total = 0.0
    for t in range(lifted + 1):
        f = lifted - t
        if t > takers or f > failers or rooted > t or dead > f:
            continue
        ways = math.comb(takers, t) * math.comb(failers, f) / math.comb(takers + failers, lifted)
        root = math.comb(t, rooted) * share**rooted * (1 - share) ** (t - rooted)
        total += ways * root * math.comb(f, dead) * gone**dead * (1 - gone) ** (f - dead)
    return total


@pytest.mark.parametrize("takers", range(2, 8))
def test_deaths_in_a_sample_by_every_split_of_it(takers):
    """Of 7 with so many takers 4 are lifted: 2 rooted, 1 dead; given the 2 rooted."""
    share, gone = 0.6, 0.3
    clue = Clue(30.0, left=0, lifted=4, rooted=2, dead=1)
    found = log_sample_deaths(clue, 7, np.array([share]), np.array([gone]))[0, takers, 0]
    by_hand = [_drawn(takers, 7 - takers, 4, 2, dead, share, gone) for dead in range(3)]
    if by_hand[1] == 0:
        assert found < -600
    else:
        assert found == pytest.approx(math.log(by_hand[1] / sum(by_hand)), rel=1e-9)


def test_the_dead_of_a_sample_that_are_gone_count_among_the_failers():
    """Eight with 5 takers; the dead one was taken out since, so 7 are left."""
    clue = Clue(30.0, left=0, lifted=4, rooted=2, dead=1, gone=1)
    found = log_sample_deaths(clue, 7, np.array([0.6]), np.array([0.3]))[0, 5, 0]
    by_hand = [_drawn(5, 3, 4, 2, dead, 0.6, 0.3) for dead in range(3)]
    assert found == pytest.approx(math.log(by_hand[1] / sum(by_hand)), rel=1e-9)
