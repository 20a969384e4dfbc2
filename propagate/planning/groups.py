"""Batches learned from together: those of one plant by one method, all plants of a method at once.

cases -> groups of one species by one method, with their clocks -> a method learned together
"""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from typing import TypeAlias

from attrs import frozen

from propagate.ledger import Kind
from propagate.planning.case import Case, treated_days
from propagate.planning.clocks import StageClock, calendar_clock
from propagate.planning.evidence import batch_data
from propagate.planning.readiness import Way, ready_by
from propagate.records.methods import Method, MethodRecord
from propagate.records.nursery import Nursery
from propagate.science import counts
from propagate.science.learning import GroupData, GroupPosterior
from propagate.science.pooling import learn_method
from propagate.science.prior import FAILERS_BETWEEN, Prior, prior_from_ranges
from propagate.science.timing import Array

EVER_DAYS = 1e6
"""A day so far off that all that will ever root has rooted."""

LINGERING = (0.1, 0.5, 0.9)
"""Shares of failing cuttings, layers and divisions that may never look dead (memory)."""

SEED_LINGERING = (0.6, 0.8, 0.95)
"""The same for seed: most that will not come up looks like any other seed (memory)."""

Pmf: TypeAlias = Array


ClockMaker = Callable[[Case, dt.date], StageClock]
"""Makes the clock of a batch's taking stage, which begins on a day."""


LearnMethod = Callable[[str, Mapping[str, GroupData]], Mapping[str, GroupPosterior]]
"""Learns what was seen of all batches by a method, or knows it already: by the method's id and
its groups."""


def anew(_: str, groups: Mapping[str, GroupData]) -> Mapping[str, GroupPosterior]:
    """Learn without a memory."""
    return learn_method(groups)


def by_calendar(case: Case, start: dt.date) -> StageClock:
    """Every day counts one, wherever the batch stands."""
    return calendar_clock(start)


@frozen(eq=False)
class Group:
    """Batches of one species by one method, learned from together with all of that method.

    A batch's clock starts when its treatments (warm, cold) end: `clock_starts` are those
    days and `clocks` run from them, both in the order of `cases`. `of_method` is what was
    seen of every species by this method, this one's under `species`.
    """

    species: str
    cases: tuple[Case, ...]
    clock_starts: tuple[dt.date, ...]
    clocks: tuple[StageClock, ...]
    of_method: Mapping[str, GroupData]
    posterior: GroupPosterior

    @property
    def data(self) -> GroupData:
        """What was seen of these batches, in the order of `cases`."""
        return self.of_method[self.species]

    @cached_property
    def told_here(self) -> int:
        """How many of these batches were looked at."""
        return self.data.telling

    @cached_property
    def told_elsewhere(self) -> int:
        """How many batches of other species by this method were looked at."""
        return sum(data.telling for data in self.of_method.values()) - self.told_here

    @cached_property
    def shared_take(self) -> tuple[float, float, float]:
        """Low, likely and high of the mean take of this plant by this method in the book."""
        return self.posterior.shared_take_interval()

    def position(self, code: str) -> int:
        """Where the batch of this code stands in the group."""
        return self._positions[code]

    @cached_property
    def _positions(self) -> dict[str, int]:
        return {case.state.code: at for at, case in enumerate(self.cases)}

    def more_by(self, at: int, date: dt.date | None) -> Pmf:
        """How many of a batch will root by a date (None: ever), (shared takes, waiting + 1).

        Where the clock has several futures, they are equally likely.
        """
        posterior, clock = self.posterior.batch(at), self.clocks[at]
        if date is None:
            return posterior.more_given_shared(EVER_DAYS)
        days = dict.fromkeys(future.day(date) for future in clock.futures)
        made = [posterior.more_given_shared(day) for day in days]
        return made[0] if len(made) == 1 else sum(made[1:], made[0]) / len(made)

    def total_by(self, which: Sequence[int], date: dt.date | None) -> Pmf:
        """How many of several batches together will root by a date; what they share is kept."""
        parts = [self.more_by(at, date) for at in which]
        return counts.mixed(self.posterior.shared_weight, counts.total(parts))

    def coming(self, at: int, date: dt.date | None, nursery: Nursery, today: dt.date) -> "Coming":
        """What will come of one batch by a date, given what is shared."""
        ready = None if date is None else self.ready_by(at, date, nursery, today)
        return Coming(self.cases[at], self.more_by(at, date), ready)

    def outcome(self, coming: Sequence["Coming"]) -> tuple[Pmf, Pmf]:
        """Of several batches: how many more will root by a date, and how many can go out.

        What can go out is counted beyond the plants found ready, as if all that root
        establish; it is over all that wait or grow here.
        """
        weight = self.posterior.shared_weight
        future = counts.mixed(weight, counts.total([each.more for each in coming]))
        ready = [each.ready for each in coming if each.ready is not None]
        if ready:
            return future, counts.mixed(weight, counts.total(ready))
        growing = sum(each.growing for each in coming)
        return future, counts.shifted(future, growing, growing + len(future))

    def ready_by(self, at: int, date: dt.date, nursery: Nursery, today: dt.date) -> Pmf:
        """How many of one batch can go out by a date, shape as `more_by`."""
        case = self.cases[at]
        way = Way(case.record, case.state.on, nursery, today)
        return ready_by(self.posterior.batch(at), self.clocks[at], way, date, case.state)


@frozen(eq=False)
class Coming:
    """What will come of a batch given what it shares, (shared nodes, n + 1).

    `more` root by the day asked for; `ready` can go out by then, None where no day was named.
    """

    case: Case
    more: Pmf
    ready: Pmf | None

    @property
    def growing(self) -> int:
        """Plants that have rooted and are here, but were not found ready."""
        return self.case.state.grown - self.case.state.total(Kind.READY)


def make_groups(
    cases: Iterable[Case],
    nursery: Nursery,
    clock_of: ClockMaker = by_calendar,
    learn: LearnMethod = anew,
) -> list[Group]:
    """Learn the batches of each method together, in groups of one species."""
    by_method: dict[str, dict[str, list[Case]]] = {}
    for case in cases:
        by_species = by_method.setdefault(case.method.id, {})
        by_species.setdefault(case.state.name.species_name, []).append(case)
    return [
        group
        for by_species in by_method.values()
        for group in _learn_method(by_species, nursery, clock_of, learn)
    ]


def _learn_method(
    by_species: dict[str, list[Case]],
    nursery: Nursery,
    clock_of: ClockMaker,
    learn: LearnMethod,
) -> list[Group]:
    starts = {
        species: tuple(
            case.state.on + dt.timedelta(days=treated_days(case, nursery)) for case in members
        )
        for species, members in by_species.items()
    }
    clocks = {
        species: tuple(map(clock_of, members, starts[species]))
        for species, members in by_species.items()
    }
    data = {
        species: _group_data(members, clocks[species]) for species, members in by_species.items()
    }
    learned = learn(next(iter(by_species.values()))[0].method.id, data)
    return [
        Group(species, tuple(members), starts[species], clocks[species], data, learned[species])
        for species, members in by_species.items()
    ]


def _group_data(cases: Sequence[Case], clocks: Sequence[StageClock]) -> GroupData:
    batches = [batch_data(case.state, clock) for case, clock in zip(cases, clocks, strict=True)]
    return GroupData(prior_of(cases[0].record), batches, lingering_of(cases[0].method))


def lingering_of(method: Method) -> tuple[float, ...]:
    """Shares of the failers of a method that may never look dead."""
    return SEED_LINGERING if method.id == "seed" else LINGERING


def prior_of(record: MethodRecord) -> Prior:
    """What a record says of a batch before anything was seen, counted from its treatments' end."""
    weeks, take = record.taking.weeks, record.taking.take
    return prior_from_ranges(
        weeks.soonest,
        weeks.latest,
        take.low if take else 1.0,
        take.high if take else 1.0,
        failer_log_between=FAILERS_BETWEEN,
    )
