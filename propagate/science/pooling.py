"""Learning from all batches of a method: plants lend each other strength.

A grower good at hardwood cuttings is good at most of them. Read each plant's mean take as a
quantile of its record's law, on the scale of Normal deviations: for plant g

    z_g = sqrt(r) d + sqrt(1 - r) e_g,      d and e_g standard Normal,

so that d, the grower's way with the method, is common to its plants, while each plant by
itself keeps exactly the law that its record gives (a Gaussian copula). How far batches differ
from each other, the precision phi of their take, is the record's times a factor f that the
method's batches share. The shift of a batch's time is  tau (sqrt(k) w_g + sqrt(1 - k) v),  w_g
common to the batches of a plant: how early one plant roots says little of another, whose
record may time something else. What is usual with a plant's failers is with chance OF_METHOD
what is with most of the method's plants (see `hypotheses`). So that, f and d are learned from
the marginal likelihood of all batches of the method, each w_g from its plant's, summed over a
grid, and mixed over, not plugged in. While nothing has been seen of any batch of the method,
there is nothing to learn.
"""

import math
from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache, partial
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from propagate.science.gauss import gauss_rule, gauss_rules
from propagate.science.grid import (
    NOTHING_IN_COMMON,
    EarlyNodes,
    SharedGrid,
    SharedNodes,
    in_play,
    log_beta_weights,
)
from propagate.science.hypotheses import usages_among_kin
from propagate.science.jobs import Job, jobs_for
from propagate.science.learning import (
    GroupData,
    GroupPosterior,
    Lesson,
    Weighed,
    grid_for,
    learn_many,
    weighed,
)
from propagate.science.likelihood import Seen, see, see_groups
from propagate.science.prior import Prior
from propagate.science.timing import TINY, Array

GROWER_SHARE: Final = 0.5
"""r: part of the variance of a plant's mean take that the plants of a method have in common
(memory: no published split was found, so neither side is favoured)."""

TIMING_SHARE: Final = 0.5
"""k: part of the variance of batch shifts that a plant's batches have in common (memory)."""

FACTORS: Final = np.array([0.25, 0.5, 1.0, 2.0, 4.0])
FACTOR_WEIGHTS: Final = np.array([0.1, 0.2, 0.4, 0.2, 0.1])
"""Factors of the batch precision and how far each is believed (memory)."""

REACH: Final = 5.0
"""Normal deviations of d and of each w that are looked at."""

FINE_STEP: Final = 0.01
"""Step in log odds on which a record's law of take is summed, a twentieth of the deviation of
the narrowest records; and of the table of Normal tails."""

FARTHEST_TAIL: Final = 37.0
"""Beyond so many deviations the Normal law has less mass than TINY."""

GROWER_NODES: Final = 61
FEW_NODES: Final = 41
COARSE_NODES: Final = 41
ENOUGH: Final = 60
"""With more than FEW_NODES of w those in play are found first, on COARSE_NODES and from a
quarter of the batches, at least ENOUGH of them."""

PRECISIONS, EARLIES, TAKES, TAKES_OF_USAGE = 2, 2, 5, 3
"""Nodes of the Gauss rules with which answers are mixed, fewer for each of several usages."""

UNLIKELY: Final = 0.02
"""What is usual with a plant's failers is left out where it is less likely than that."""


@frozen(eq=False)
class _Plant:
    """One group on the method's grid: `given_grower` (growers, takes) is its prior given d.

    `of_method` (usages, usages of the plant) is that of what is usual with its failers.
    """

    jobs: Sequence[Job]
    told: Weighed
    given_grower: Array
    of_method: Array

    @cached_property
    def likelihood(self) -> Array:
        """P(all seen of the group, early | factor, take) up to a constant: (f, early, takes)."""
        told = np.exp(self.told.log_told - self.told.log_told.max())
        return np.asarray(told * self.told.grid.early.weight[:, None], dtype=np.float64)

    @cached_property
    def evidence(self) -> Array:
        """The same with early and take summed out, given what the method's plants share.

        Shape (usages, factors, growers).
        """
        usual = self.of_method @ self.told.usage.T
        told = (usual[:, None] * self.likelihood.sum(axis=1)) @ self.given_grower.T
        return np.asarray(np.maximum(told, TINY), dtype=np.float64)

    def mass(self, joint: Array) -> tuple[Array, Array]:
        """Posterior (factors, earlies, takes), and that of what is usual, (takes, usages).

        `joint` is that of what the method's plants share.
        """
        given_others = (joint / self.evidence) @ self.given_grower
        usual = self.of_method @ self.told.usage.T
        mass = (given_others * usual[:, None]).sum(axis=0)[:, None] * self.likelihood
        by_usage = (given_others * self.likelihood.sum(axis=1)).sum(axis=1)
        usage = (by_usage.T @ self.of_method) * self.told.usage
        whole = np.maximum(usage.sum(axis=1, keepdims=True), TINY)
        return np.asarray(mass, dtype=np.float64), np.asarray(usage / whole, dtype=np.float64)


def learn_method(groups: Mapping[str, GroupData]) -> dict[str, GroupPosterior]:
    """Posterior of every group of batches (one plant each) of a method, by the groups' keys.

    Raises Refused for sightings that cannot be: more counted than there are, days in disorder.
    """
    data = list(groups.values())
    if not any(batch.sightings for group in data for batch in group.batches):
        return dict(zip(groups, learn_many(data), strict=True))
    ready = [_made_ready(group) for group in data]
    seen = see_groups(ready)
    usages = max(len(one.usual) for of_group in seen for one in of_group)
    plants = [
        _plant(group, jobs, of_group, early, usages)
        for group, (jobs, early), of_group in zip(data, ready, seen, strict=True)
    ]
    joint = _joint(plants)
    masses = [plant.mass(joint) for plant in plants]
    few = [_few_earlies(plant, mass) for plant, (mass, _) in zip(plants, masses, strict=True)]
    jobs_and_few = [(plant.jobs, early) for plant, (early, _) in zip(plants, few, strict=True)]
    answers = zip(data, plants, masses, few, see_groups(jobs_and_few), strict=True)
    return dict(zip(groups, (_posterior(*parts) for parts in answers), strict=True))


def recalled(
    groups: Mapping[str, GroupData], lessons: Mapping[str, Lesson]
) -> dict[str, GroupPosterior]:
    """What `learn_method` answered for these very groups, from the lessons it came to.

    Nothing is learned anew; what was seen is reckoned once the first batch is asked for.
    """
    looks = _Looks(groups, lessons)
    return {
        key: GroupPosterior(group.prior, lessons[key], partial(looks.at, key))
        for key, group in groups.items()
    }


@frozen(eq=False)
class _Looks:
    """What was seen of all batches of a method, on the nodes of its lessons."""

    groups: Mapping[str, GroupData]
    lessons: Mapping[str, Lesson]

    def at(self, key: str) -> Sequence[Seen]:
        """The batches of one group."""
        return self._seen[key]

    @cached_property
    def _seen(self) -> dict[str, list[Seen]]:
        ready = []
        for key, group in self.groups.items():
            early = self.lessons[key].nodes.early
            ready.append((jobs_for(group.trays, early.own, kin=True), early))
        return dict(zip(self.groups, see_groups(ready), strict=True))


def _made_ready(group: GroupData) -> tuple[list[Job], EarlyNodes]:
    """The batches of a group, and the nodes of what they have in common in time."""
    looked = sum(bool(batch.sightings) for batch in group.batches)
    own = math.sqrt(1 - TIMING_SHARE) if looked else 1.0
    jobs = jobs_for(group.trays, own, kin=True)
    return jobs, _early_nodes(group.prior, jobs, looked) if looked else NOTHING_IN_COMMON


def _plant(
    group: GroupData, jobs: Sequence[Job], seen: Sequence[Seen], early: EarlyNodes, usages: int
) -> _Plant:
    every = _grid(group.prior, seen, early)
    told = weighed(every, seen)
    first = int(np.searchsorted(every.log_odds, told.grid.log_odds[0]))
    window = slice(first, first + len(told.grid.log_odds))
    of_method = usages_among_kin(usages, told.usage.shape[1])
    return _Plant(jobs, told, _given_grower(group.prior, every, window), of_method)


def _grid(prior: Prior, seen: Sequence[Seen], early: EarlyNodes) -> SharedGrid:
    return grid_for(prior, seen, FACTORS * balance(prior.take_precision_batch), early)


def _early_nodes(prior: Prior, jobs: Sequence[Job], looked: int) -> EarlyNodes:
    """Nodes of what a plant's batches have in common in time, fine enough for all looked at.

    Where these are many, the nodes in play are found from some of the batches first, on few
    nodes and with the record's precision: some tell less than all, so none in play is lost.
    """
    own = math.sqrt(1 - TIMING_SHARE)
    fine = _evenly(2 * math.ceil(REACH * math.sqrt(looked + 1) / 1.2) + 1)
    if len(fine) <= FEW_NODES:
        return EarlyNodes(fine, own)
    coarse = EarlyNodes(_evenly(COARSE_NODES), own)
    some = [job for job in jobs if job.tray.batch.sightings][: max(ENOUGH, looked // 4)]
    seen = see(some, coarse)
    told = weighed(grid_for(prior, seen, early=coarse), seen)
    of_early = np.exp(told.grid.log_weight + told.log_told - told.log_told.max()).sum(axis=(0, 2))
    kept = in_play(np.log(of_early * coarse.weight + TINY), pad=1)
    low, high = coarse.at[kept.start], coarse.at[kept.stop - 1]
    return EarlyNodes(fine[(fine >= low) & (fine <= high)], own)


def _evenly(number: int) -> Array:
    """Nodes of what is common in time, in deviations of a batch's shift."""
    return np.asarray(np.linspace(-REACH, REACH, number) * math.sqrt(TIMING_SHARE))


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


def _given_grower(prior: Prior, every: SharedGrid, window: slice) -> Array:
    """Prior weight of a window of takes for each d, (growers, takes).

    Over all d it is the record's own law, to the last digit: each take's column is scaled so.
    """
    weight = np.exp(every.log_weight[0, 0])
    nodes, of_grower = _growers()
    if len(weight) == 1:
        return np.ones((len(nodes), 1))
    deviation = deviations(prior, every.log_odds)[window]
    own = math.sqrt(1 - GROWER_SHARE)
    away = (deviation - math.sqrt(GROWER_SHARE) * nodes[:, None]) / own
    logs = -(away**2) / 2
    given = np.exp(logs - logs.max(axis=0))
    return np.asarray(given / (of_grower @ given) * weight[window], dtype=np.float64)


def deviations(prior: Prior, nodes: Array) -> Array:
    """The Normal deviation below which the record's law has as much mass as below each node.

    The sums are trapezoid rules on a grid so fine that in its tails, too, the law changes
    little from node to node: there a sum over the nodes themselves says far too little.
    """
    parts = math.ceil((nodes[1] - nodes[0]) / FINE_STEP)
    fine = np.linspace(nodes[0], nodes[-1], (len(nodes) - 1) * parts + 1)
    mean = np.array([prior.take_mean])
    weight = np.exp(log_beta_weights(fine, mean, prior.take_precision_shared)[0])
    below = (np.cumsum(weight) - weight / 2)[::parts]
    above = (np.cumsum(weight[::-1])[::-1] - weight / 2)[::parts]
    tail = np.clip(np.minimum(below, above) / weight.sum(), TINY, 0.5)
    at, log_tail = _normal_tails()
    deviation = np.interp(-np.log(tail), -log_tail, at)
    return np.asarray(np.where(below < above, -deviation, deviation), dtype=np.float64)


@lru_cache(maxsize=1)
def _normal_tails() -> tuple[Array, Array]:
    """Normal deviations, and the logarithm of the mass beyond each."""
    at = np.arange(0, FARTHEST_TAIL, FINE_STEP)
    return at, np.log([math.erfc(x / math.sqrt(2)) / 2 for x in at.tolist()])


def _joint(plants: Sequence[_Plant]) -> Array:
    """Posterior of what the method's plants share, (usages, factors, growers)."""
    logs = np.log(FACTOR_WEIGHTS)[:, None] + np.log(_growers()[1])
    logs = np.repeat(logs[None], len(plants[0].of_method), axis=0)
    for plant in plants:
        if not all(one.nothing for one in plant.told.seen):
            logs = logs + np.log(plant.evidence)
    joint = np.exp(logs - logs.max())
    return np.asarray(joint / joint.sum(), dtype=np.float64)


def _few_earlies(plant: _Plant, mass: Array) -> tuple[EarlyNodes, Array]:
    """Few nodes that stand for the early nodes of a plant's grid, and their weights."""
    early = plant.told.grid.early
    at, of_early = gauss_rule(early.at, mass.sum(axis=(0, 2)), EARLIES)
    return EarlyNodes(at, early.own), of_early


def _posterior(
    group: GroupData,
    plant: _Plant,
    mass_and_usage: tuple[Array, Array],
    earlies: tuple[EarlyNodes, Array],
    seen: Sequence[Seen],
) -> GroupPosterior:
    """A group's answers, mixed over few nodes that stand for its grid."""
    grid, (mass, usage) = plant.told.grid, mass_and_usage
    nodes, weight = _few_nodes(mass, usage, grid, *earlies)
    lesson = Lesson(nodes, weight, grid.log_odds, mass.sum(axis=(0, 1)))
    return GroupPosterior(group.prior, lesson, lambda: seen)


def _few_nodes(
    mass: Array, usage: Array, grid: SharedGrid, few: EarlyNodes, of_early: Array
) -> tuple[SharedNodes, Array]:
    """Gauss rules within each other: for each early node of precisions, for these of takes.

    Takes have rules of their own for each usage that is not too unlikely.
    """
    precisions, shares, place, of_take = _few_precisions(mass, grid, few)
    joint = of_take[:, None] * usage.T
    likely = joint.sum(axis=2)
    law, usual = np.nonzero(likely > UNLIKELY)
    wanted = TAKES if len(law) == len(likely) else TAKES_OF_USAGE
    takes, parts = gauss_rules(grid.log_odds, joint[law, usual], wanted)
    parts = parts * (of_early[place] * shares)[law, None] * likely[law, usual, None]
    there = parts > 0
    at = np.nonzero(there)[0]
    nodes = SharedNodes(
        log_odds=takes[there],
        precision=precisions[law[at]],
        early_at=place[law[at]],
        usage_at=usual[at],
        early=few,
    )
    return nodes, parts[there] / parts[there].sum()


def _few_precisions(
    mass: Array, grid: SharedGrid, few: EarlyNodes
) -> tuple[Array, Array, NDArray[np.int_], Array]:
    """Few precisions for each early node: they, their weights, which early node, and P(takes)."""
    logs = np.log(grid.precision)
    by_early = [_between(np.swapaxes(mass, 0, 1), grid.early.at, at) for at in few.at]
    found, shares = gauss_rules(logs, np.stack([one.sum(axis=1) for one in by_early]), PRECISIONS)
    place, at = np.nonzero(shares > 0)
    log_precision = found[place, at]
    pairs = zip(place.tolist(), log_precision.tolist(), strict=True)
    of_take = np.stack([_between(by_early[early], logs, one) for early, one in pairs])
    of_take /= of_take.sum(axis=1, keepdims=True)
    return np.exp(log_precision), shares[place, at], place, of_take


def _between(mass: Array, nodes: Array, at: float) -> Array:
    """Mass at a point between two nodes of its first axis, its logarithm on a straight line."""
    if len(nodes) == 1:
        return np.asarray(mass[0], dtype=np.float64)
    right = int(np.clip(np.searchsorted(nodes, at), 1, len(nodes) - 1))
    share = (at - nodes[right - 1]) / (nodes[right] - nodes[right - 1])
    low, high = np.log(np.maximum(mass[right - 1 : right + 1], TINY))
    return np.asarray(np.exp((1 - share) * low + share * high), dtype=np.float64)
