"""Ten thousand batches learned in one pass: seconds, memory, and whether cost is linear.

`python -m tests.bench.many_batches`. Groups of ten batches of one plant by one method, 24 to
104 propagules, none to three looks; the library's three shares of lingering failers. The last
column is what learning the groups one by one takes, as a multiple.
"""

import gc
import resource
import sys
import time
from collections.abc import Callable

import numpy as np

from propagate.science import counts
from propagate.science.learning import GroupData, learn, learn_many
from propagate.science.pooling import learn_method
from propagate.science.prior import FAILERS_BETWEEN, Prior, prior_from_ranges
from propagate.science.sightings import BatchData, Look

LINGERING = (0.1, 0.5, 0.9)
EVER = 1e6
IN_GROUP = 10


def groups(batches: int) -> list[GroupData]:
    """Groups drawn from a fixed seed."""
    rng = np.random.default_rng(1)
    out = []
    for _ in range(batches // IN_GROUP):
        low, take = float(rng.uniform(3, 12)), float(rng.uniform(0.2, 0.7))
        prior = prior_from_ranges(
            low,
            low * float(rng.uniform(1.4, 3)),
            take,
            take + 0.25,
            failer_log_between=FAILERS_BETWEEN,
        )
        out.append(GroupData(prior, [_tray(rng, prior) for _ in range(IN_GROUP)], LINGERING))
    return out


def _tray(rng: np.random.Generator, prior: Prior) -> BatchData:
    count, middle = int(rng.integers(24, 105)), np.exp(prior.log_days_mean)
    taker = rng.random(count) < rng.beta(20 * prior.take_mean, 20 * (1 - prior.take_mean))
    early = rng.normal(0, prior.log_days_between)
    rooting = middle * np.exp(early + rng.logistic(0, prior.log_days_scale, count))
    dying = middle * np.exp(rng.logistic(-0.5, 0.5, count))
    rooting[~taker], dying[taker | (rng.random(count) < 0.5)] = np.inf, np.inf
    days = np.unique(np.rint(middle * rng.uniform(0.5, 1.8, int(rng.integers(0, 4)))))
    rooted = np.diff([0, *((rooting <= day).sum() for day in days)])
    dead = np.diff([0, *((dying <= day).sum() for day in days)])
    looks = zip(days.tolist(), rooted.tolist(), dead.tolist(), strict=True)
    return BatchData(count, [Look(*look) for look in looks])


def main() -> None:
    """Time the pass for a quarter, a half and all of the batches."""
    gc.set_threshold(100_000)  # as the program does
    sys.stdout.write("batches   learned  counted  pooled over 10 methods  one by one\n")
    for batches in (2_500, 5_000, 10_000):
        data = groups(batches)
        learned, posteriors = _timed(lambda data=data: learn_many(data))
        counted, _ = _timed(lambda found=posteriors: [_counted(group) for group in found])
        pooled, _ = _timed(lambda data=data: [_pooled(data[at::10]) for at in range(10)])
        alone, _ = _timed(
            lambda data=data: [learn(g.prior, g.batches, g.lingering) for g in data[:25]]
        )
        times = alone * len(data) / 25 / learned
        sys.stdout.write(
            f"{batches:>7}{learned:>8.2f} s{counted:>7.2f} s{pooled:>22.2f} s{times:>10.1f} x\n"
        )
    used_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    sys.stdout.write(f"most memory {used_mb:.0f} MB\n")


def _counted(group) -> list[counts.Interval]:
    return [
        counts.interval(counts.mixed(group.shared_weight, batch.more_given_shared(EVER)))
        for batch in group.batches
    ]


def _pooled(data: list[GroupData]) -> object:
    return learn_method({str(at): group for at, group in enumerate(data)})


def _timed(deed: Callable[[], object]) -> tuple[float, object]:
    began = time.perf_counter()
    found = deed()
    return time.perf_counter() - began, found


if __name__ == "__main__":
    main()
