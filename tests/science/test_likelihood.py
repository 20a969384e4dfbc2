import math

import numpy as np
import pytest

from propagate.science.grid import EarlyNodes
from propagate.science.jobs import Tray, jobs_for
from propagate.science.likelihood import see, see_groups
from propagate.science.partly import parts_of
from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.sightings import AtLeast, BatchData, Look, Removal, Sample, reduce_sightings

PRIOR = Prior(0.7, 20.0, 20.0, math.log(50.0), 0.2, 0.1)
TAKES = np.array([0.2, 0.5, 0.85])
SHIFT = np.array([-0.1, 0.0, 0.15])


def _rooted(day):
    """F(t; u) of the lattice, from the law's own formula."""
    return 1 / (1 + (day / (50.0 * np.exp(SHIFT))) ** (-1 / 0.2))


def _dead(day):
    """G(t), around 0.6 of the takers' median with a scale of 0.5."""
    return 1 / (1 + (day / 30.0) ** (-1 / 0.5))


def _log_sum(logs, axis):
    most = logs.max(axis=axis, keepdims=True)
    return np.squeeze(most, axis) + np.log(np.exp(logs - most).sum(axis=axis))


def _told(seen):
    """Log of P(seen | takers) of each part and early node, whatever is usual with the plant."""
    return seen.log_summed + seen.log_fate + np.log(seen.usual.mean(axis=0))


def _found(count, *sightings, prior=PRIOR):
    """Log of P(sightings | p, u): the numbers of takers weighed by their binomial law."""
    cells = reduce_sightings(BatchData(count, sightings), prior)
    parts = parts_of(prior, cells, SHIFT / prior.log_days_between, ())
    table = parts.log_table + parts.log_fate[:, :, None]
    takers = cells.known_rooted + parts.offset[:, None] + np.arange(table.shape[1])
    log_take, log_fail = np.log(TAKES)[:, None, None], np.log1p(-TAKES)[:, None, None]
    binomial = takers * log_take + (cells.told_of - takers) * log_fail
    return _log_sum(_log_sum(binomial[..., None] + table, axis=2), axis=1)


def test_nothing_seen_tells_nothing():
    assert _found(40) == pytest.approx(np.zeros((3, 3)), abs=1e-12)


def test_one_look_is_a_multinomial():
    p = TAKES[:, None]
    expected = (
        12 * np.log(p * _rooted(48.0))
        + 5 * np.log((1 - p) * _dead(48.0))
        + 23 * np.log(p * (1 - _rooted(48.0)) + (1 - p) * (1 - _dead(48.0)))
    )
    assert _found(40, Look(48, 12, 5)) == pytest.approx(expected, rel=1e-9)


def test_two_looks_are_intervals():
    p = TAKES[:, None]
    expected = (
        12 * np.log(p * _rooted(45.0))
        + 9 * np.log(p * (_rooted(60.0) - _rooted(45.0)))
        + 4 * np.log((1 - p) * _dead(45.0))
        + 2 * np.log((1 - p) * (_dead(60.0) - _dead(45.0)))
        + 13 * np.log(p * (1 - _rooted(60.0)) + (1 - p) * (1 - _dead(60.0)))
    )
    assert _found(40, Look(45, 12, 4), Look(60, 9, 2)) == pytest.approx(expected, rel=1e-9)


def test_waiting_without_a_look_for_dead_may_be_dead():
    p = TAKES[:, None]
    expected = 12 * np.log(p * _rooted(48.0)) + 28 * np.log(p * (1 - _rooted(48.0)) + 1 - p)
    assert _found(40, Look(48, 12)) == pytest.approx(expected, rel=1e-8)


def test_removal_before_the_first_look_tells_nothing():
    assert _found(40, Removal(20, 10), Look(48, 12, 5)) == pytest.approx(
        _found(30, Look(48, 12, 5)), rel=1e-8
    )


def test_removed_after_a_look_were_waiting_at_it():
    seen = _found(40, Look(48, 12, 5))
    assert _found(40, Look(48, 12, 5), Removal(50, 7)) == pytest.approx(seen, rel=1e-12)


def test_at_least_none_tells_nothing():
    assert _found(40, AtLeast(48, 0)) == pytest.approx(np.zeros((3, 3)), abs=1e-9)


def test_at_least_one_is_the_complement_of_none():
    expected = np.log1p(-((1 - TAKES[:, None] * _rooted(48.0)) ** 40))
    assert _found(40, AtLeast(48, 1)) == pytest.approx(expected, abs=1e-3)


def test_sample_is_binomial_when_nothing_else_is_known():
    """Hypergeometric over a binomial tray is binomial over the sample."""
    q = TAKES[:, None] * _rooted(48.0)
    expected = 3 * np.log(q) + 7 * np.log(1 - q)
    found = _found(40, Sample(48, 10, 3))
    assert found - found[0, 0] == pytest.approx(expected - expected[0, 0], abs=0.02)


def test_sample_with_dead_is_a_multinomial():
    p, f, g = TAKES[:, None], _rooted(48.0), _dead(48.0)
    expected = (
        3 * np.log(p * f) + 2 * np.log((1 - p) * g) + 5 * np.log(p * (1 - f) + (1 - p) * (1 - g))
    )
    found = _found(40, Sample(48, 10, 3, 2))
    assert found - found[0, 0] == pytest.approx(expected - expected[0, 0], abs=0.02)


def test_at_least_before_a_look_is_a_binomial_tail_of_those_found():
    """Of 20 rooted by day 60, at least 4 by day 45, each with the chance F(45) / F(60)."""
    v = _rooted(45.0) / _rooted(60.0)
    tail = sum(math.comb(20, k) * v**k * (1 - v) ** (20 - k) for k in range(4, 21))
    expected = _found(40, Look(60, 20, 3)) + np.log(tail)
    assert _found(40, AtLeast(45, 4), Look(60, 16, 3)) == pytest.approx(expected, rel=1e-9)


def test_removed_before_a_later_look_were_waiting_at_the_first():
    p = TAKES[:, None]
    waiting_first = p * (1 - _rooted(45.0)) + (1 - p) * (1 - _dead(45.0))
    expected = (
        12 * np.log(p * _rooted(45.0))
        + 9 * np.log(p * (_rooted(60.0) - _rooted(45.0)))
        + 4 * np.log((1 - p) * _dead(45.0))
        + 2 * np.log((1 - p) * (_dead(60.0) - _dead(45.0)))
        + 6 * np.log(waiting_first)
        + 7 * np.log(p * (1 - _rooted(60.0)) + (1 - p) * (1 - _dead(60.0)))
    )
    found = _found(40, Look(45, 12, 4), Removal(50, 6), Look(60, 9, 2))
    assert found == pytest.approx(expected, rel=1e-9)


def test_rooted_during_the_treatments_is_unlikely_but_finite():
    prior = Prior(0.7, 20.0, 20.0, math.log(50.0), 0.2, 0.1, delay_days=90)
    assert np.isfinite(_found(40, Look(20, 1), Look(20, 1), Look(40, 2), prior=prior)).all()


SIGHTINGS = {
    "nothing": (),
    "one look": (Look(48, 12, 5),),
    "none found": (Look(48, 0), Look(60, 0)),
    "two looks": (Look(45, 12, 4), Look(60, 9, 2)),
    "removed since": (Look(48, 12, 5), Removal(50, 7)),
    "clue": (AtLeast(48, 3),),
    "early removal": (Look(45, 12, 4), Removal(50, 6), Look(60, 9, 2)),
}


def _trays():
    rng = np.random.default_rng(8)
    priors = (PRIOR, prior_from_ranges(4, 20, 0.2, 0.7), Prior(0.7, 20.0, 20.0, 4.0, 0.2, 0.0))
    for _ in range(80):
        prior = priors[rng.integers(3)]
        told = list(SIGHTINGS.values())[rng.integers(len(SIGHTINGS))]
        yield Tray(prior, BatchData(int(rng.integers(40, 120)), told), (0.1, 0.5, 0.9))


def test_batches_reckoned_together_are_those_reckoned_alone():
    """Eighty trays of three records and all kinds of looks, in one go and one by one."""
    trays = list(_trays())
    for tray, together in zip(trays, see(jobs_for(trays)), strict=True):
        (alone,) = see(jobs_for([tray]))
        assert _told(together) == pytest.approx(_told(alone), abs=1e-9)
        assert together.log_shift == pytest.approx(alone.log_shift, abs=1e-9)


@pytest.mark.parametrize("told", SIGHTINGS.values(), ids=SIGHTINGS)
def test_the_quick_way_and_the_tables_of_a_batch_agree(told):
    """The sum over shifts of the table that batches known in part have."""
    (seen,) = see(jobs_for([Tray(PRIOR, BatchData(40, told))]))
    parts = parts_of(PRIOR, seen.cells, seen.shift, ())
    weights = seen.early.log_weights(seen.shift)
    by_table = _log_sum(parts.log_table + weights, axis=2) + parts.log_fate
    assert _told(seen)[0] == pytest.approx(by_table, abs=1e-5)


def test_groups_reckoned_together_are_those_reckoned_alone():
    """Each with nodes of its own for what its batches have in common in time."""
    trays = list(_trays())
    groups = [
        (jobs_for(trays[begin : begin + 16], 0.7), EarlyNodes(np.linspace(-reach, reach, 5), 0.7))
        for begin, reach in zip(range(0, 80, 16), (1, 2, 3, 2, 1), strict=True)
    ]
    for (jobs, early), together in zip(groups, see_groups(groups), strict=True):
        for alone, one in zip(see(jobs, early), together, strict=True):
            assert one.early is early
            assert _told(one) == pytest.approx(_told(alone), abs=1e-9)
