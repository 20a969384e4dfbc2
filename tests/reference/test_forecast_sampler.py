"""The forecast against an independent sampler of the same model (see `sampler`).

Three batches here; `tests.bench.exactness` holds it against twenty, of 40 and of 1,000.
"""

import numpy as np
import pytest

from propagate.science.counts import mean, quantile
from propagate.science.learning import learn
from propagate.science.sightings import BatchData, Look
from tests.reference.sampler import BY, LINGERING, PRIOR, sampled

LEVELS = (0.05, 0.1, 0.5, 0.9, 0.95)
COUNT = 40

LOOKS = {
    "nobody looked": (),
    "two looks, few dead": (Look(50, 6), Look(64, 13, 2)),
    "late and poor": (Look(70, 9, 12),),
}
OTHERS = (BatchData(40, [Look(120, 33, 5)]), BatchData(30, [Look(120, 26, 4)]))


@pytest.mark.parametrize("looks", LOOKS)
def test_points_of_the_count_are_those_of_the_sampler(looks):
    """At 40 propagules, beside two finished batches: every point within one plant."""
    batches = [BatchData(COUNT, LOOKS[looks]), *OTHERS]
    posterior = learn(PRIOR, batches, LINGERING).batch(0)
    for pmf, draws in zip(
        (posterior.rooted_by(BY), posterior.rooted_by(1e6)), sampled(batches), strict=True
    ):
        found = np.array([quantile(pmf, level) for level in LEVELS])
        assert np.abs(found - np.quantile(draws, LEVELS)).max() <= 1
        assert mean(pmf) == pytest.approx(draws.mean(), abs=0.35)
