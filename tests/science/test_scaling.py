import numpy as np

from propagate.science.counts import interval, mean, mixed, stretched
from propagate.science.learning import learn
from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.scaling import MOST_ONE_BY_ONE, in_units, unit_of
from propagate.science.sightings import (
    AtLeast,
    BatchData,
    Look,
    Removal,
    Sample,
    reduce_sightings,
)

PRIOR: Prior = prior_from_ranges(4, 10, 0.4, 0.8)
FAR = 1e6


def unit(batch: BatchData) -> int:
    return unit_of(reduce_sightings(batch, PRIOR), batch.count)


def test_only_large_trays_known_in_part_are_reckoned_in_units() -> None:
    large = 3 * MOST_ONE_BY_ONE
    assert unit(BatchData(large)) == 1
    assert unit(BatchData(large, [Look(30, 100)])) == 1
    assert unit(BatchData(MOST_ONE_BY_ONE, [AtLeast(30, 100)])) == 1
    assert unit(BatchData(large, [AtLeast(30, 100)])) == 3
    assert unit(BatchData(large + 1, [AtLeast(30, 100), Look(40, 50)])) == 4


def test_units_never_hold_more_than_the_tray() -> None:
    counted = [Look(20, 333, 334), AtLeast(30, 701), Removal(35, 99), Look(40, 1533, 0)]
    for size in range(2, 40):
        reduce_sightings(in_units(BatchData(3000, counted), size), PRIOR)


def test_a_small_sample_is_kept_and_a_large_one_scaled() -> None:
    batch = in_units(BatchData(4000, [Sample(20, 20, 9), Sample(30, 2000, 900, 40)]), 4)
    assert batch.sightings == (Sample(20, 20, 9), Sample(30, 500, 225, 10))


def test_a_tray_just_over_the_limit_answers_like_one_just_under() -> None:
    """Half of it left rooted, unexamined rest: a share of the tray's size is the same."""
    answers = []
    for count in (MOST_ONE_BY_ONE, 2 * MOST_ONE_BY_ONE):
        batch = learn(PRIOR, [BatchData(count, [AtLeast(45, count // 2)])]).batch(0)
        pmf = batch.rooted_by(FAR)
        assert len(pmf) == count + 1
        assert pmf[: count // 2].sum() == 0
        found = interval(pmf)
        answers.append(np.array([found.low, found.likely, found.high, found.mean]) / count)
    np.testing.assert_allclose(*answers, atol=0.01)


def test_stretching_keeps_mass_and_mean() -> None:
    rng = np.random.default_rng(3)
    pmf = rng.dirichlet(np.ones(101), size=4)
    wide = stretched(pmf, 501)
    np.testing.assert_allclose(wide.sum(axis=1), 1)
    for narrow_row, wide_row in zip(pmf, wide, strict=True):
        assert abs(mean(wide_row) - 5 * mean(narrow_row)) < 0.1
    assert stretched(pmf, 101) is pmf


def test_a_unit_alone_is_surely_nought() -> None:
    np.testing.assert_array_equal(stretched(np.ones((2, 1)), 3), [[1, 0, 0], [1, 0, 0]])


def test_mixed_totals_of_large_trays_have_their_full_length() -> None:
    group = learn(PRIOR, [BatchData(2500, [AtLeast(45, 800)]), BatchData(40)])
    pmf = mixed(group.shared_weight, group.batch(0).more_given_shared(FAR))
    assert len(pmf) == 1701
    assert len(group.total([FAR, FAR])) == 2541
