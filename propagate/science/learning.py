"""Learning from all batches of one plant by one method that a book holds.

The batches have a mean take in common; each batch's number of takers has a law given that
mean (see `takers`), and what was seen a likelihood given that number (see `likelihood`). So
one pass over the batches gives the posterior of the mean, and with it every batch's own,
exact to the grid (see `grid`).
"""

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import Final

import numpy as np
from attrs import field, frozen

from propagate.errors import Refused
from propagate.science.counts import mixed, total
from propagate.science.evidence import log_evidence
from propagate.science.grid import (
    NOTHING_IN_COMMON,
    WIDER_LOG,
    EarlyNodes,
    SharedGrid,
    SharedNodes,
    in_play,
    shared_grid,
)
from propagate.science.hypotheses import lingering_under
from propagate.science.jobs import Tray, jobs_for
from propagate.science.likelihood import Seen, see, see_groups
from propagate.science.posterior import BatchPosterior, OwnTakes, shares_of
from propagate.science.prior import Prior
from propagate.science.sightings import BatchData
from propagate.science.takers import take_laws
from propagate.science.timing import Array

SCARCE: Final = 1e-5
"""Nodes of less weight are left out where several things may be usual with the failers."""


def _kept(batches: Sequence[BatchData]) -> tuple[BatchData, ...]:
    return tuple(batches)


@frozen(eq=False)
class GroupData:
    """Batches of one plant by one method, and what is believed of them.

    `lingering` are shares of failers that never look dead, equally likely; what was seen of
    deaths is weighed under each of them. Without any, the prior's own share holds.
    """

    prior: Prior
    batches: tuple[BatchData, ...] = field(converter=_kept)
    lingering: tuple[float, ...] = field(default=(), converter=tuple[float, ...])

    @property
    def trays(self) -> list[Tray]:
        """The batches, each with what is believed of it."""
        return [Tray(self.prior, batch, self.lingering) for batch in self.batches]

    @cached_property
    def telling(self) -> int:
        """How many of the batches were looked at, so that they tell of what takes."""
        return sum(batch.tells for batch in self.batches)


@frozen(eq=False)
class Lesson:
    """What the batches of a group taught of all that they have in common.

    `nodes` stand for it, `weight` is its posterior on them; `take_log_odds` and `take_mass` are
    the posterior of the mean take by itself.
    """

    nodes: SharedNodes
    weight: Array
    take_log_odds: Array
    take_mass: Array


@frozen(eq=False)
class GroupPosterior:
    """All batches of a group after all their sightings.

    `seen` says what was seen of each batch on the nodes of the lesson; it is asked when the
    first batch is.
    """

    prior: Prior
    lesson: Lesson = field(repr=False)
    seen: Callable[[], Sequence[Seen]] = field(repr=False)

    @property
    def shared(self) -> SharedNodes:
        """Nodes of what the batches have in common."""
        return self.lesson.nodes

    @property
    def shared_weight(self) -> Array:
        """Its posterior on them."""
        return self.lesson.weight

    @cached_property
    def batches(self) -> tuple[BatchPosterior, ...]:
        """Each batch by itself, in the order given to `learn`."""
        return answering(self.seen(), self.shared, self.shared_weight)

    def batch(self, i: int) -> BatchPosterior:
        """The i-th batch, in the order given to `learn`."""
        return self.batches[i]

    def fresh(self, count: int) -> BatchPosterior:
        """A batch of `count` yet to be started, in the light of what the group has shown."""
        (seen,) = see(jobs_for([Tray(self.prior, BatchData(count))]), self.shared.early)
        return answering([seen], self.shared, self.shared_weight)[0]

    def total(self, days: Sequence[float], which: Sequence[int] | None = None) -> Array:
        """P(k rooted in all batches together), k = 0..sum of counts.

        `days` holds one day for each batch of `which` (all of them when None), each counted
        from that batch's start. Given what is shared the batches are independent, so they
        are summed for each node of it and then mixed: the dependence stays.
        """
        chosen = range(len(self.batches)) if which is None else which
        if len(days) != len(chosen):
            raise Refused(f"{len(chosen)} batches need as many days; got {len(days)}")
        if not chosen:
            return np.ones(1)
        parts = [self.batches[i].given_shared(day) for i, day in zip(chosen, days, strict=True)]
        return mixed(self.shared_weight, total(parts))

    def lingering(self, shares: tuple[float, ...]) -> float | None:
        """What share of the failers of a new tray should never look dead, of those that may.

        None where fewer than two trays were looked at for dead: nothing is known then.
        """
        if not self.shared.usage_at.any():
            return None
        expected = lingering_under(self.prior, shares)
        return float(self.shared_weight @ expected[self.shared.usage_at])

    def shared_take_interval(self, chance: float = 0.8) -> tuple[float, float, float]:
        """Low, median and high of the mean take of this plant by this method in the book."""
        return shares_of(self.lesson.take_log_odds, self.lesson.take_mass, chance)


def learn(
    prior: Prior, batches: Sequence[BatchData], lingering: Sequence[float] = ()
) -> GroupPosterior:
    """Posterior of a group of batches of one plant by one method; see `GroupData`.

    Raises Refused for sightings that cannot be: more counted than there are, days in disorder.
    """
    return learn_many([GroupData(prior, tuple(batches), tuple(lingering))])[0]


def learn_many(groups: Sequence[GroupData]) -> list[GroupPosterior]:
    """Posterior of each of many groups, which tell each other nothing; quicker than one by one.

    Raises Refused as `learn` does.
    """
    every = see_groups([(jobs_for(group.trays), NOTHING_IN_COMMON) for group in groups])
    return [
        _posterior(weighed(grid_for(group.prior, seen), seen), group)
        for group, seen in zip(groups, every, strict=True)
    ]


def grid_for(
    prior: Prior,
    seen: Sequence[Seen],
    precision_factors: Array | None = None,
    early: EarlyNodes = NOTHING_IN_COMMON,
) -> SharedGrid:
    """A grid of what is shared, fine enough for what was seen of these batches."""
    sizes = [one.cells.told_of for one in seen if not one.nothing]
    return shared_grid(prior, sizes, precision_factors, early)


@frozen(eq=False)
class Weighed:
    """What a group's batches say of what they share.

    `log_told` is the logarithm of P(all sightings | shared) up to a constant, shaped as the
    prior's `grid.log_weight`; `usage` (takes, usages) is P(usual fates | take, all sightings).
    """

    seen: Sequence[Seen]
    grid: SharedGrid
    log_told: Array
    usage: Array

    def part(self, window: slice) -> "Weighed":
        """Only the shared takes of a window."""
        grid, log_told = self.grid.part(window), self.log_told[..., window]
        return Weighed(self.seen, grid, log_told, self.usage[window])


def weighed(every: SharedGrid, seen: Sequence[Seen]) -> Weighed:
    """A grid of what is shared weighed by what was seen of a group's batches.

    Shared takes near the prior are tried first; while the posterior runs up against their
    ends, because the book says otherwise than the record, the window is widened.
    """
    looked_at = [one for one in seen if not one.nothing]
    most = max((one.cells.told_of for one in looked_at), default=0)
    window = in_play(every.log_weight[0, 0], below=WIDER_LOG)
    while True:
        grid = every.part(window)
        laws = take_laws(grid.log_odds, grid.precision[:, None], most)
        found, usage = log_evidence(looked_at, laws, grid.early.weight)
        log_told = np.zeros(grid.log_weight.shape) + found
        kept = in_play((grid.log_weight + log_told).max(axis=(0, 1)))
        wider = _widened(window, kept, len(every.log_odds))
        if wider == window:
            return Weighed(seen, grid, log_told, usage).part(kept)
        window = wider


def _widened(window: slice, kept: slice, length: int) -> slice:
    """The window, longer by half at each end where the kept nodes run up against it."""
    width = window.stop - window.start
    more = width // 2 + 1
    start = window.start - more if kept.start == 0 else window.start
    stop = window.stop + more if kept.stop == width else window.stop
    return slice(max(start, 0), min(stop, length))


def _posterior(told: Weighed, group: GroupData) -> GroupPosterior:
    """The posterior of a group alone, whose grid has one precision and one early node."""
    grid = told.grid
    log_weight = (grid.log_weight + told.log_told)[0, 0]
    of_take = np.exp(log_weight - log_weight.max())
    of_take /= of_take.sum()
    joint = of_take[:, None] * told.usage
    take_at, usage_at = np.nonzero(joint > (SCARCE if joint.shape[1] > 1 else 0.0))
    weight = joint[take_at, usage_at] / joint[take_at, usage_at].sum()
    nodes = SharedNodes(
        log_odds=grid.log_odds[take_at],
        precision=np.full(len(weight), grid.precision[0]),
        early_at=np.zeros(len(weight), dtype=np.int_),
        usage_at=usage_at,
        early=grid.early,
    )
    lesson = Lesson(nodes, weight, grid.log_odds, of_take)
    return GroupPosterior(group.prior, lesson, lambda: told.seen)


def answering(
    seen: Sequence[Seen], nodes: SharedNodes, weight: Array
) -> tuple[BatchPosterior, ...]:
    """The posterior of each batch on nodes of what is shared, weighed."""
    most = max((one.cells.told_of for one in seen), default=0)
    laws = take_laws(nodes.log_odds, nodes.precision, most)
    own_takes = OwnTakes(nodes, weight, most)
    return tuple(BatchPosterior(one, nodes, laws, weight, own_takes) for one in seen)
