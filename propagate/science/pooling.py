"""Learning from all batches of a method: plants lend each other strength.

A grower good at hardwood cuttings is good at most of them. Read each plant's mean take as a
quantile of its record's law, on the scale of Normal deviations: for plant g

    z_g = sqrt(r) d + sqrt(1 - r) e_g,      d and e_g standard Normal,

so that d, the grower's way with the method, is common to its plants, while each plant by
itself keeps exactly the law that its record gives (a Gaussian copula). In the same way the
shift of a batch's time is  tau (sqrt(k) w + sqrt(1 - k) v),  w common to the method. How far
batches differ from each other, the precision phi of their take, is the record's times a
factor f that the method's batches share. So (f, w, d) are learned from the marginal
likelihood of all batches of the method, summed over a grid, and mixed over, not plugged in.
While nothing has been seen of any batch of the method, there is nothing to learn.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import accumulate, pairwise
from statistics import NormalDist
from typing import Final, TypeVar

import numpy as np
from attrs import frozen

from propagate.science.gauss import gauss_rule
from propagate.science.grid import EarlyNodes, SharedGrid, SharedNodes, in_play
from propagate.science.learning import (
    GroupData,
    GroupPosterior,
    Weighed,
    answering,
    grid_for,
    learn_many,
    weighed,
)
from propagate.science.likelihood import Job, Seen, Tray, jobs_for, see
from propagate.science.timing import Array

GROWER_SHARE: Final = 0.5
"""r: part of the variance of a plant's mean take that the plants of a method have in common
(memory: no published split was found, so neither side is favoured)."""

TIMING_SHARE: Final = 0.5
"""k: part of the variance of batch shifts that a method's batches have in common (memory)."""

FACTORS: Final = np.array([0.25, 0.5, 1.0, 2.0, 4.0])
FACTOR_WEIGHTS: Final = np.array([0.1, 0.2, 0.4, 0.2, 0.1])
"""Factors of the batch precision and how far each is believed (memory)."""

REACH: Final = 5.0
"""Normal deviations of d and w that are looked at."""

GROWER_NODES: Final = 61
FEW_NODES: Final = 15
COARSE_NODES: Final = 41
ENOUGH: Final = 60
"""With more than FEW_NODES of w those in play are found first, on COARSE_NODES and from a
quarter of the batches, at least ENOUGH of them."""

PRECISIONS, EARLIES, TAKES = 2, 3, 6
"""Nodes of the Gauss rules with which answers are mixed."""

TINY: Final = 1e-300

T = TypeVar("T")


@frozen(eq=False)
class _Plant:
    """One group on the method's grid: `given_grower` (growers, takes) is its prior given d."""

    told: Weighed
    given_grower: Array

    @property
    def likelihood(self) -> Array:
        """P(all seen of the group | factor, early, take) up to a constant."""
        return np.asarray(np.exp(self.told.log_told - self.told.log_told.max()), dtype=np.float64)

    @property
    def evidence(self) -> Array:
        """The same with the take summed out, given d: (factors, earlies, growers)."""
        return np.maximum(self.likelihood @ self.given_grower.T, TINY)


def learn_method(groups: Mapping[str, GroupData]) -> dict[str, GroupPosterior]:
    """Posterior of every group of batches (one plant each) of a method, by the groups' keys.

    Raises Refused for sightings that cannot be: more counted than there are, days in disorder.
    """
    data = list(groups.values())
    own = math.sqrt(1 - TIMING_SHARE)
    jobs = _by_group(
        jobs_for([Tray(g.prior, batch, g.lingering) for g in data for batch in g.batches], own),
        [len(group.batches) for group in data],
    )
    looked = sum(bool(job.tray.batch.sightings) for members in jobs for job in members)
    if not looked:
        return dict(zip(groups, learn_many(data), strict=True))
    early = _early_nodes(jobs, looked, own)
    seen = _by_group(see([job for members in jobs for job in members], early), map(len, jobs))
    plants = [_plant(told, members, early) for told, members in zip(data, seen, strict=True)]
    return dict(zip(groups, _posteriors(data, jobs, plants, early), strict=True))


def _early_nodes(jobs: Sequence[Sequence[Job]], looked: int, own: float) -> EarlyNodes:
    """Nodes of what the method has in common in time, fine enough for all batches looked at.

    Where these are many, the nodes in play are found from some of the batches first, on few
    nodes and with the record's precision: some tell less than all, so none in play is lost.
    """
    half = math.ceil(REACH * math.sqrt(looked + 1) / 1.2)
    fine = _evenly(2 * half + 1)
    if len(fine) <= FEW_NODES:
        return EarlyNodes(fine, own)
    coarse = EarlyNodes(_evenly(COARSE_NODES), own)
    some = _some(jobs, max(ENOUGH, looked // 4))
    seen = _by_group(see([job for members in some for job in members], coarse), map(len, some))
    data = [GroupData(members[0].tray.prior, ()) for members in some]
    plants = [
        _plant(told, members, coarse, np.ones(1)) for told, members in zip(data, seen, strict=True)
    ]
    kept = in_play(np.log(_joint(plants, coarse).sum(axis=(0, 2)) + TINY), pad=1)
    low, high = coarse.at[kept.start], coarse.at[kept.stop - 1]
    return EarlyNodes(fine[(fine >= low) & (fine <= high)], own)


def _some(jobs: Sequence[Sequence[Job]], enough: int) -> list[list[Job]]:
    """Batches that were looked at, of the first groups, until there are enough."""
    out: list[list[Job]] = []
    for members in jobs:
        looked = [job for job in members if job.tray.batch.sightings]
        if looked and sum(map(len, out)) < enough:
            out.append(looked)
    return out


def _by_group(items: Sequence[T], lengths: Iterable[int]) -> list[Sequence[T]]:
    ends = list(accumulate(lengths, initial=0))
    return [items[begin:end] for begin, end in pairwise(ends)]


def _evenly(number: int) -> Array:
    """Nodes of what is common in time, in deviations of a batch's shift."""
    return np.asarray(np.linspace(-REACH, REACH, number) * math.sqrt(TIMING_SHARE))


def _plant(
    group: GroupData, seen: Sequence[Seen], early: EarlyNodes, factors: Array = FACTORS
) -> _Plant:
    scaled = factors * balance(group.prior.take_precision_batch)
    every = grid_for(group.prior, seen, scaled, early)
    told = weighed(every, seen)
    first = int(np.searchsorted(every.log_odds, told.grid.log_odds[0]))
    window = slice(first, first + len(told.grid.log_odds))
    return _Plant(told, _given_grower(every, window))


@lru_cache(maxsize=256)
def balance(precision: float) -> float:
    """What to multiply all factors by, so that a batch's take keeps its variance on average.

    That of Beta(m, phi) is m (1 - m) / (phi + 1); by bisection on the logarithm.
    """
    low, high = -3.0, 3.0
    for _ in range(60):
        middle = (low + high) / 2
        mean = float(FACTOR_WEIGHTS @ (1 / (math.exp(middle) * FACTORS * precision + 1)))
        low, high = (middle, high) if mean > 1 / (precision + 1) else (low, middle)
    return math.exp(low)


def _growers() -> tuple[Array, Array]:
    """Nodes of d and their weights."""
    nodes = np.linspace(-REACH, REACH, GROWER_NODES)
    weight = np.exp(-(nodes**2) / 2)
    return nodes, weight / weight.sum()


def _given_grower(every: SharedGrid, window: slice) -> Array:
    """Prior weight of a window of takes for each d, (growers, takes).

    Over all d it is the record's own law, to the last digit: each take's column is scaled so.
    """
    weight = np.exp(every.log_weight[0, 0])
    nodes, of_grower = _growers()
    if len(weight) == 1:
        return np.ones((len(nodes), 1))
    deviation = _deviations(weight)[window]
    own = math.sqrt(1 - GROWER_SHARE)
    away = (deviation - math.sqrt(GROWER_SHARE) * nodes[:, None]) / own
    logs = -(away**2) / 2
    given = np.exp(logs - logs.max(axis=0))
    return np.asarray(given / (of_grower @ given) * weight[window], dtype=np.float64)


def _deviations(weight: Array) -> Array:
    """The Normal deviation below which a law on nodes has as much mass as below each node.

    The sums are trapezoid rules up to a node, with the first term of their error taken off
    (Euler and Maclaurin): h^2 / 12 of the slope there.
    """
    slope = np.gradient(weight) / 12
    below = np.cumsum(weight) - weight / 2 - slope
    above = np.cumsum(weight[::-1])[::-1] - weight / 2 + slope
    normal = NormalDist()
    tail = np.clip(np.minimum(below, above) / weight.sum(), TINY, 0.5)
    deviation = np.array([normal.inv_cdf(share) for share in tail.tolist()])
    return np.asarray(np.where(below < above, deviation, -deviation), dtype=np.float64)


def _joint(plants: Sequence[_Plant], early: EarlyNodes) -> Array:
    """Posterior of what the method's batches share, (factors, earlies, growers)."""
    of_early = -((early.at / math.sqrt(TIMING_SHARE)) ** 2) / 2
    of_factor = np.log(FACTOR_WEIGHTS) if len(plants[0].told.log_told) > 1 else np.zeros(1)
    logs = of_factor[:, None, None] + of_early[:, None] + np.log(_growers()[1])
    for plant in plants:
        if not all(one.nothing for one in plant.told.seen):
            logs = logs + np.log(plant.evidence)
    joint = np.exp(logs - logs.max())
    return np.asarray(joint / joint.sum(), dtype=np.float64)


def _posteriors(
    data: Sequence[GroupData],
    jobs: Sequence[Sequence[Job]],
    plants: Sequence[_Plant],
    early: EarlyNodes,
) -> list[GroupPosterior]:
    """Every group's answers, mixed over few nodes that stand for the method's grid."""
    joint = _joint(plants, early)
    at, of_early = gauss_rule(early.at, joint.sum(axis=(0, 2)), EARLIES)
    few = EarlyNodes(at, early.own)
    seen = _by_group(see([job for members in jobs for job in members], few), map(len, jobs))
    out = []
    for group, plant, members in zip(data, plants, seen, strict=True):
        mass = (joint / plant.evidence) @ plant.given_grower * plant.likelihood
        nodes, weight = _few_nodes(mass, plant.told.grid, few, of_early)
        out.append(
            GroupPosterior(
                prior=group.prior,
                shared=nodes,
                shared_weight=weight,
                batches=answering(members, nodes, weight),
                take_log_odds=plant.told.grid.log_odds,
                take_mass=mass.sum(axis=(0, 1)),
            )
        )
    return out


def _few_nodes(
    mass: Array, grid: SharedGrid, few: EarlyNodes, of_early: Array
) -> tuple[SharedNodes, Array]:
    """Gauss rules within each other: for each early node of precisions, for these of takes."""
    log_precision = np.log(grid.precision)
    found: list[tuple[Array, float, int, Array]] = []
    for place, (at, weight) in enumerate(zip(few.at, of_early, strict=True)):
        given_early = _between(np.swapaxes(mass, 0, 1), grid.early.at, at)
        precisions, shares = gauss_rule(log_precision, given_early.sum(axis=1), PRECISIONS)
        for precision, share in zip(precisions, shares, strict=True):
            takes, parts = gauss_rule(
                grid.log_odds, _between(given_early, log_precision, precision), TAKES
            )
            found.append((takes, math.exp(precision), place, weight * share * parts))
    lengths = [len(takes) for takes, *_ in found]
    nodes = SharedNodes(
        log_odds=np.concatenate([takes for takes, *_ in found]),
        precision=np.repeat([precision for _, precision, _, _ in found], lengths),
        early_at=np.repeat([place for _, _, place, _ in found], lengths),
        early=few,
    )
    weight = np.concatenate([parts for *_, parts in found])
    return nodes, weight / weight.sum()


def _between(mass: Array, nodes: Array, at: float) -> Array:
    """Mass at a point between two nodes of its first axis, its logarithm on a straight line."""
    if len(nodes) == 1:
        return np.asarray(mass[0], dtype=np.float64)
    right = int(np.clip(np.searchsorted(nodes, at), 1, len(nodes) - 1))
    share = (at - nodes[right - 1]) / (nodes[right] - nodes[right - 1])
    low, high = np.log(np.maximum(mass[right - 1 : right + 1], TINY))
    return np.asarray(np.exp((1 - share) * low + share * high), dtype=np.float64)
