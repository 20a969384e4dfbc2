"""The forecast's points against an independent sampler's, on twenty batches.

`python -m tests.bench.exactness`, some minutes. Ten batches of 40 and ten of 1,000, drawn from
the model, with none to three looks; each beside two finished batches. The points are the mean
and 5, 10, 50, 90 and 95 %, of what roots by a day and of what roots in the end. Beside the
largest difference stands the sampler's own error, from its two halves.
"""

import sys
import time

import numpy as np

from propagate.science.counts import mean, quantile
from propagate.science.learning import learn
from propagate.science.sightings import BatchData, Look
from tests.reference.sampler import BY, LINGERING, PRIOR, sampled

LEVELS = (0.05, 0.1, 0.5, 0.9, 0.95)
OTHERS = (BatchData(40, [Look(120, 33, 5)]), BatchData(30, [Look(120, 26, 4)]))
LOOK_DAYS = (45.0, 56.0, 67.0)
EVER = 1e6


def drawn(rng: np.random.Generator, count: int, looks: int) -> BatchData:
    """A batch drawn from the prior, looked at on the first `looks` days."""
    take = rng.beta(10 * PRIOR.take_mean, 10 * (1 - PRIOR.take_mean))
    taker = rng.random(count) < take
    early = rng.normal(0, PRIOR.log_days_between)
    rooting = np.exp(PRIOR.log_days_mean + early + rng.logistic(0, PRIOR.log_days_scale, count))
    dying = np.exp(rng.logistic(PRIOR.failer_log_days_mean, PRIOR.failer_log_scale, count))
    rooting[~taker], dying[taker | (rng.random(count) < 0.5)] = np.inf, np.inf
    rooted = np.diff([0, *((rooting <= day).sum() for day in LOOK_DAYS[:looks])])
    dead = np.diff([0, *((dying <= day).sum() for day in LOOK_DAYS[:looks])])
    seen = zip(LOOK_DAYS[:looks], rooted.tolist(), dead.tolist(), strict=True)
    return BatchData(count, [Look(*each) for each in seen])


def points(draws: np.ndarray) -> np.ndarray:
    """Mean and the points at LEVELS of a sample."""
    return np.array([draws.mean(), *np.quantile(draws, LEVELS)])


def main() -> None:
    """Print the differences batch by batch, and the worst of each size."""
    rng = np.random.default_rng(11)
    sys.stdout.write("count  looks  by a day  ever  sampler's own error   times faster\n")
    worst = {40: 0.0, 1000: 0.0}
    for at in range(20):
        count = 40 if at % 2 == 0 else 1000
        batch = drawn(rng, count, at // 2 % 4)
        began = time.perf_counter()
        posterior = learn(PRIOR, [batch, *OTHERS], LINGERING).batch(0)
        pmfs = [posterior.rooted_by(BY), posterior.rooted_by(EVER)]
        exact = time.perf_counter() - began
        began = time.perf_counter()
        chains = sampled([batch, *OTHERS], walkers=96, steps=6000, discard=1000)
        slow = time.perf_counter() - began
        away, own = [], []
        for pmf, draws in zip(pmfs, chains, strict=True):
            found = np.array([mean(pmf), *(quantile(pmf, level) for level in LEVELS)])
            halves = np.array_split(draws, 2)
            away.append(float(np.abs(found - points(draws)).max()))
            own.append(float(np.abs(points(halves[0]) - points(halves[1])).max() / 2))
        worst[count] = max(worst[count], *away)
        looks = len(batch.sightings)
        sys.stdout.write(
            f"{count:>5}{looks:>7}{away[0]:>10.1f}{away[1]:>6.1f}{max(own):>21.1f}"
            f"{slow / exact:>15.0f}\n"
        )
        sys.stdout.flush()
    sys.stdout.write(f"worst: {worst[40]:.1f} plants of 40, {worst[1000]:.1f} of 1,000\n")


if __name__ == "__main__":
    main()
