"""The grid's own claims: weights sum to one, and a grid twice as fine moves no answer."""

import numpy as np
import pytest

from propagate.science import counts, grid
from propagate.science.learning import learn
from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.sightings import AtLeast, BatchData, Look, Sample

SHARES = (0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95)
PRIORS = {
    "usual": prior_from_ranges(6, 10, 0.6, 0.8),
    "wide": prior_from_ranges(4, 20, 0.1, 0.9),
    "poor": prior_from_ranges(8, 30, 0.0, 0.2),
    "sure": prior_from_ranges(2, 4, 0.97, 1.0),
}
SIGHTINGS = {
    "none": (),
    "one look": (Look(45, 9, 3),),
    "two looks": (Look(40, 2), Look(60, 14, 6)),
    "potted unseen": (Look(40, 5), AtLeast(55, 8)),
    "sample": (Sample(50, 12, 5, 1),),
}


@pytest.mark.parametrize("precision", [0.5, 3.0, 60.0, 2000.0])
@pytest.mark.parametrize("mean", [1e-4, 0.03, 0.5, 0.98])
def test_weights_of_a_beta_law_sum_to_one(mean, precision):
    nodes = grid.log_odds_nodes(40 + precision)
    weights = np.exp(grid.log_beta_weights(nodes, np.array([mean]), precision)[0])
    assert weights.sum() == pytest.approx(1.0, abs=3e-4)
    assert weights @ (1 / (1 + np.exp(-nodes))) == pytest.approx(mean, rel=3e-3)


def test_a_batch_that_does_not_differ_has_one_shift():
    assert grid.shift_nodes(Prior(0.5, 9.0, 9.0, 4.0, 0.2, 0.0), 40) == pytest.approx([0.0])


def test_a_known_mean_take_has_one_node():
    nodes = grid.shared_grid(prior_from_ranges(6, 10, 0.6, 0.8, shared_share=0.0), [40] * 5)
    assert len(nodes.log_odds) == 1


def _answers(prior, sightings, count):
    group = learn(prior, [BatchData(count, sightings), BatchData(count, (Look(90, 20, 10),))])
    answers = []
    for day in (50, 70, 400):
        pmf = group.batch(0).rooted_by(day)
        answers.append([counts.quantile(pmf, share) for share in SHARES])
    both = group.total([70, 400])
    answers.append([counts.quantile(both, share) for share in SHARES])
    return answers, group.batch(0).pot_on_days(0.8)


@pytest.mark.parametrize("prior", PRIORS)
@pytest.mark.parametrize("sightings", SIGHTINGS)
def test_a_grid_twice_as_fine_moves_no_quantile_of_forty(prior, sightings, monkeypatch):
    usual, days = _answers(PRIORS[prior], SIGHTINGS[sightings], 40)
    monkeypatch.setattr(grid, "STEP_DEVIATIONS", grid.STEP_DEVIATIONS / 2)
    finer, finer_days = _answers(PRIORS[prior], SIGHTINGS[sightings], 40)
    assert usual == finer
    assert days == pytest.approx(finer_days, rel=2e-3)
