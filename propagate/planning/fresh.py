"""Batches yet to be started: for every week the fewest propagules that fill a gap in time.

a plant by a method -> what is known of both -> for each week, which share roots in time ->
the law of one propagule's chance -> the smallest number to start
"""

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np
from attrs import frozen

from propagate.planning.clocks import StageClock, calendar_clock
from propagate.planning.groups import Group, lingering_of, prior_of
from propagate.planning.readiness import Way, ready_by
from propagate.planning.seasons import into_gate, latest_in_gate
from propagate.records.methods import Method, MethodRecord
from propagate.records.nursery import Nursery
from propagate.science import counts, starting
from propagate.science.grid import shift_nodes
from propagate.science.learning import GroupData, GroupPosterior
from propagate.science.pooling import learn_method
from propagate.science.sightings import BatchData
from propagate.science.take import beta_from_range
from propagate.science.timing import SHORTEST_DAYS, Array, score

MOST = 5_000
"""More of one plant is not started in one batch; the search ends there."""

MOST_FOR_ONE = 25
"""Nor more than so many for each plant wanted: a way that needs more is none (memory)."""

NODES_FOR = 8  # propagules, to choose nodes of the shift by; the times are smooth, so few do
ONE_DAY = dt.timedelta(days=1)


@frozen(eq=False)
class Source:
    """One plant by one method, with all that the book has taught about both.

    `group` is the batches of it in the book, None without any; `slower` stretches all times.
    """

    species: str
    method: Method
    record: MethodRecord
    level: str
    said: str
    posterior: GroupPosterior
    group: Group | None
    nursery: Nursery
    slower: float = 1.0

    @cached_property
    def takes(self) -> starting.Takes:
        """The chance of one propagule to take and establish."""
        stage = self.record.establishing
        stays = beta_from_range(stage.take.low, stage.take.high) if stage and stage.take else None
        return starting.takes_of(self.posterior.shared, self.posterior.shared_weight, stays)

    @cached_property
    def by_early(self) -> Array:
        """The same, weighed, for each early node."""
        return self.takes.by_early(len(self.posterior.shared.early.at))

    @cached_property
    def take(self) -> float:
        """The mean share of propagules that take."""
        return float(self.posterior.shared_weight @ self.posterior.shared.take)

    @cached_property
    def treated(self) -> dt.timedelta:
        """How long its warm and cold spells last."""
        return ONE_DAY * sum(stage.middle_days for stage in self.record.treatments)

    def way(self, start: dt.date) -> Way:
        """What a batch started on a day must pass."""
        return Way(self.record, start, self.nursery, start)

    def clock(self, start: dt.date) -> StageClock:
        """The clock of a batch started on a day, by the calendar."""
        return calendar_clock(start + self.treated)

    def rooting(self, starts: Sequence[dt.date], by: dt.date) -> Array:
        """The law of the share that roots in time, (starts, early nodes, IN_TIME)."""
        ages = np.array([self._ages(start, by) for start in starts])  # (starts, shifts, plants)
        prior, early = self.posterior.prior, self.posterior.shared.early
        nodes = shift_nodes(prior, NODES_FOR, early.own)
        of_shift = np.exp(early.log_weights(nodes))
        of_shift /= of_shift.sum(axis=1, keepdims=True)
        log_days = prior.log_days_mean + prior.log_days_between * nodes
        late = score(np.maximum(ages, SHORTEST_DAYS)[..., None], log_days, prior.log_days_scale)
        rooted = np.where(ages[..., None] > 0, 1 / (1 + np.exp(-late)), 0.0).mean(axis=2)
        flat = rooted.reshape(len(starts), 1, -1)  # (starts, 1, potting shifts x shifts)
        weights = np.tile(of_shift / ages.shape[1], (1, ages.shape[1]))
        shape = (len(starts), len(of_shift), flat.shape[-1])
        return starting.in_time(np.broadcast_to(flat, shape), np.broadcast_to(weights, shape))

    def _ages(self, start: dt.date, by: dt.date) -> Array:
        """Ages on the clock by which plants must root to be out in time; 0 where it is too late."""
        way = self.way(start)
        out = way.last_out(by)
        times = way.times_in_pot() * self.slower
        if out is None:
            return np.zeros_like(times)
        gate, begins = self.record.taking.gate, (start + self.treated).toordinal()
        first = into_gate(start, start, gate, self.nursery, start)
        latest = self._last_pottings(out, times)
        return np.where(latest >= first.toordinal(), (latest - begins) / self.slower, 0.0)

    def _last_pottings(self, out: dt.date, times: Array) -> Array:
        """For each time in the pot the last day to pot on and be out on a day, as an ordinal."""
        known = self._potting
        if out not in known:
            long_ago = out - ONE_DAY * 3_000  # of the start only whether the season has come
            gate = self.record.taking.gate
            found = [
                latest_in_gate(out - ONE_DAY * int(days), long_ago, gate, self.nursery)
                for days in times.round().ravel().tolist()
            ]
            ordinals = [day.toordinal() if day else 0 for day in found]
            known[out] = np.array(ordinals, dtype=np.float64).reshape(times.shape)
        return known[out]

    @cached_property
    def _potting(self) -> dict[dt.date, Array]:
        return {}

    def course(self, start: dt.date) -> tuple[dt.date, dt.date]:
        """The likely days of potting on and of being ready, for a batch started on a day."""
        prior, taking = self.posterior.prior, self.record.taking
        odds = math.log(taking.share / (1 - taking.share))
        days = math.exp(prior.log_days_mean + prior.log_days_scale * odds) * self.slower
        rooted = start + self.treated + ONE_DAY * round(days)
        pot_on = into_gate(rooted, start, taking.gate, self.nursery, start)
        stage = self.record.establishing
        if stage is None:
            return pot_on, pot_on
        grown = pot_on + ONE_DAY * round(stage.middle_days * self.slower)
        return pot_on, into_gate(grown, start, stage.gate, self.nursery, start)

    def laws(self, starts: Sequence[dt.date], by: dt.date) -> Array:
        """The law of a propagule's chance to be a plant in time, (starts, CHANCES)."""
        return starting.chances_of(self.by_early, self.rooting(starts, by))

    def given(self, start: dt.date, by: dt.date) -> Array:
        """The same for one start given each shared node, (nodes, CHANCES)."""
        return starting.chances_given(self.takes, self.rooting([start], by)[0])

    def smallest(
        self, starts: Sequence[dt.date], by: dt.date, short: Array, chance: float
    ) -> starting.Whole:
        """The fewest to start on each day so that what is short comes with a chance; 0: none.

        `short` is P(m are short | what the group shares), (nodes, m + 1).
        """
        if short.shape[0] == 1 or np.ptp(short, axis=0).max() < 1e-12:
            return self._smallest_of_one(starts, by, short[0], chance)
        weight = self.posterior.shared_weight
        table = [np.einsum("t,tq,tm->qm", weight, self.given(start, by), short) for start in starts]
        return starting.smallest_for_shortage(np.array(table), chance, _most(short))

    def _smallest_of_one(
        self, starts: Sequence[dt.date], by: dt.date, short: Array, chance: float
    ) -> starting.Whole:
        """The same where the shortage has one law whatever the group shares."""
        laws, most = self.laws(starts, by), _most(short[None])
        if short.max() > 1 - 1e-12:
            return starting.smallest_starts(laws, int(short.argmax()), chance, most)
        return starting.smallest_for_shortage(laws[:, :, None] * short, chance, most)

    def exact_chance(self, count: int, start: dt.date, by: dt.date, short: Array) -> float:
        """The chance that `count` started fill what is short, by the forecast itself."""
        from propagate.science.pools import chance_to_fill

        posterior = self.posterior.fresh(count)
        coming = ready_by(posterior, self.clock(start), self.way(start), by, None)
        stage = self.record.establishing
        if stage is not None and stage.take is not None:
            a, b = beta_from_range(stage.take.low, stage.take.high)
            coming = counts.thinned(coming, a / (a + b), a + b)
        nodes = len(self.posterior.shared_weight)
        every = np.broadcast_to(short, (nodes, short.shape[-1]))
        return chance_to_fill(every, coming, self.posterior.shared_weight)


def _most(short: Array) -> int:
    """The most worth starting, from the law of what is short, (nodes, m + 1)."""
    return min(MOST, MOST_FOR_ONE * (int(short.shape[-1]) - 1))


def learn_sources(
    wanted: Mapping[str, Mapping[str, MethodRecord]],
    methods: Mapping[str, Method],
    groups: Sequence[Group],
) -> dict[tuple[str, str], tuple[GroupPosterior, Group | None]]:
    """What is known of each species by each method, in the light of the whole book.

    `wanted` are the records of the species by method. A species that the book has not by a
    method still learns from the grower's other plants by it.
    """
    found: dict[tuple[str, str], tuple[GroupPosterior, Group | None]] = {}
    for method_id, records in wanted.items():
        known = {g.species: g for g in groups if g.cases[0].method.id == method_id}
        found |= {(s, method_id): (known[s].posterior, known[s]) for s in records if s in known}
        new = {s: record for s, record in records.items() if s not in known}
        if not new:
            continue
        lingering = lingering_of(methods[method_id])
        told = {species: group.data for species, group in known.items()}
        asked = {
            species: GroupData(prior_of(record), [BatchData(1)], lingering)
            for species, record in new.items()
        }
        learned = learn_method({**told, **asked})
        found |= {(species, method_id): (learned[species], None) for species in new}
    return found
