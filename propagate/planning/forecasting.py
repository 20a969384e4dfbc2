"""From batches and records to answers: when to pot on, how many plants will come.

batches -> groups of one species by one method -> a method learned together -> one answer each
and, for each plant, the sum over its batches with what they have in common kept
"""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from typing import TypeAlias

import numpy as np
from attrs import frozen

from propagate.ledger import Kind
from propagate.names import PlantName
from propagate.planning.case import Case, treated_days
from propagate.planning.clocks import StageClock, calendar_clock
from propagate.planning.evidence import batch_data
from propagate.planning.readiness import Way, ready_by
from propagate.planning.seasons import into_gate, season_words
from propagate.records.answers import (
    QUANTILES,
    BatchForecast,
    Forecast,
    PlantCount,
    PlantTotal,
    PotOn,
)
from propagate.records.methods import Method, MethodRecord
from propagate.records.nursery import Nursery
from propagate.science import counts
from propagate.science.learning import GroupData, GroupPosterior
from propagate.science.pooling import learn_method
from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.take import beta_from_range
from propagate.science.timing import Array
from propagate.worded import in_a_row, worded

EVER_DAYS = 1e6
"""A day so far off that all that will ever root has rooted."""

LINGERING = (0.1, 0.5, 0.9)
"""Shares of failing cuttings, layers and divisions that may never look dead (memory)."""

SEED_LINGERING = (0.6, 0.8, 0.95)
"""The same for seed: most that will not come up looks like any other seed (memory)."""

Pmf: TypeAlias = Array


ClockMaker = Callable[[Case, dt.date], StageClock]
"""Makes the clock of a batch's taking stage, which begins on a day."""


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

    def outcome(
        self, which: Sequence[int], date: dt.date | None, nursery: Nursery, today: dt.date
    ) -> tuple[Pmf, Pmf]:
        """Of several batches: how many more will root by a date, and how many can go out.

        What can go out is counted beyond the plants found ready, as if all that root
        establish; it is over all that wait or grow here.
        """
        future = self.total_by(which, date)
        if date is None:
            states = [self.cases[at].state for at in which]
            growing = sum(state.grown - state.total(Kind.READY) for state in states)
            return future, counts.shifted(future, growing, growing + len(future))
        parts = [self.ready_by(at, date, nursery, today) for at in which]
        return future, counts.mixed(self.posterior.shared_weight, counts.total(parts))

    def ready_by(self, at: int, date: dt.date, nursery: Nursery, today: dt.date) -> Pmf:
        """How many of one batch can go out by a date, shape as `more_by`."""
        case = self.cases[at]
        way = Way(case.record, case.state.on, nursery, today)
        return ready_by(self.posterior.batch(at), self.clocks[at], way, date, case.state)


def make_forecast(
    cases: Sequence[Case],
    wanted: Iterable[str],
    nursery: Nursery,
    as_of: dt.date,
    by: dt.date | None = None,
    clock_of: ClockMaker = by_calendar,
) -> Forecast:
    """Answer for the batches of the codes `wanted`, learning from all `cases` of the book."""
    return answer_from(make_groups(cases, nursery, clock_of), cases, wanted, nursery, as_of, by)


def answer_from(
    groups: Sequence[Group],
    cases: Sequence[Case],
    wanted: Iterable[str],
    nursery: Nursery,
    as_of: dt.date,
    by: dt.date | None = None,
) -> Forecast:
    """The same from groups that are learned already."""
    chosen = set(wanted)
    answers = [
        _batch_answer(case, group, nursery, as_of, by)
        for group in groups
        for case in group.cases
        if case.state.code in chosen
    ]
    order = {case.state.code: at for at, case in enumerate(cases)}
    totals = _totals(groups, chosen, nursery, as_of, by)
    return Forecast(
        as_of=as_of,
        by=by,
        batches=tuple(sorted(answers, key=lambda answer: order[answer.batch])),
        totals=tuple(sorted(totals, key=lambda total: total.plant)),
    )


def make_groups(
    cases: Iterable[Case], nursery: Nursery, clock_of: ClockMaker = by_calendar
) -> list[Group]:
    """Learn the batches of each method together, in groups of one species."""
    by_method: dict[str, dict[str, list[Case]]] = {}
    for case in cases:
        by_species = by_method.setdefault(case.method.id, {})
        by_species.setdefault(case.state.name.species_name, []).append(case)
    return [
        group
        for by_species in by_method.values()
        for group in _learn_method(by_species, nursery, clock_of)
    ]


def _learn_method(
    by_species: dict[str, list[Case]], nursery: Nursery, clock_of: ClockMaker
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
    learned = learn_method(data)
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
        weeks.low,
        weeks.high,
        take.low if take else 1.0,
        take.high if take else 1.0,
    )


def _batch_answer(
    case: Case, group: Group, nursery: Nursery, as_of: dt.date, by: dt.date | None
) -> BatchForecast:
    state, at = case.state, group.position(case.state.code)
    future, ready = group.outcome([at], by, nursery, as_of)
    return BatchForecast(
        batch=state.code,
        plant=state.name,
        method=case.method.id,
        started=state.on,
        count=state.count,
        accounts=case.accounts,
        pot_on=_window(case, group, nursery, as_of),
        plants=_count(future, state.raised, nursery.chance),
        free=_free(ready, [case], nursery.chance),
        why=tuple(_reasons(group, at)),
        expected=_expected(future, ready, case) if by else {},
    )


def _expected(future: Pmf, ready: Pmf, case: Case) -> dict[str, float]:
    """The mean number in each account on the day that the distributions are for."""
    state, rooting = case.state, counts.mean(future)
    growing = state.grown - state.total(Kind.READY)
    in_time, stays = counts.mean(ready), _establishing_share(case.record)
    expected = {
        f"not {case.method.taken}": len(future) - 1 - rooting,
        "growing on": growing + rooting - in_time,
        str(Kind.READY): state.total(Kind.READY) + in_time * stays,
        "failed in pots": in_time * (1 - stays),
    }
    gone = (Kind.PLANTED, Kind.GIVEN, Kind.LOST, Kind.MISCOUNTED)
    return expected | {str(kind): float(state.total(kind)) for kind in gone if state.total(kind)}


def _establishing_share(record: MethodRecord) -> float:
    """Mean share of the rooted that come through their time in the pot."""
    stage = record.establishing
    if stage is None or stage.take is None:
        return 1.0
    a, b = beta_from_range(stage.take.low, stage.take.high)
    return a / (a + b)


def _count(pmf: Pmf, known: int, chance: float) -> PlantCount:
    """A distribution of plants to come, with those already there, boiled down."""
    inner = counts.interval(pmf, chance)
    return PlantCount(
        low=known + inner.low,
        likely=known + inner.likely,
        high=known + inner.high,
        mean=known + inner.mean,
        chance=chance,
        quantiles={
            share: known + more
            for share, more in zip(QUANTILES, counts.quantiles(pmf, QUANTILES), strict=True)
        },
    )


def _free(pmf: Pmf, cases: Sequence[Case], chance: float) -> PlantCount:
    """Plants left for beds: those that establish, less what is promised; never below none."""
    states = [case.state for case in cases]
    ready = sum(state.total(Kind.READY) for state in states)
    promised = sum(state.promised.total() for state in states)
    establishing = cases[0].record.establishing
    if establishing is not None and establishing.take is not None:
        a, b = beta_from_range(establishing.take.low, establishing.take.high)
        pmf = counts.thinned(pmf, a / (a + b), a + b)
    return _count(_less(pmf, promised - ready), max(0, ready - promised), chance)


def _less(pmf: Pmf, taken: int) -> Pmf:
    """The distribution after `taken` plants are taken off, as far as there are any."""
    if taken <= 0:
        return pmf
    short = min(taken, len(pmf) - 1)
    return np.concatenate([[pmf[: short + 1].sum()], pmf[short + 1 :]])


def pot_on_windows(
    groups: Iterable[Group],
    nursery: Nursery,
    today: dt.date,
    needed: Callable[[Case], bool] = lambda _: True,
) -> list[tuple[Case, PotOn]]:
    """The pot-on window of batches of groups learned already, without counting their plants."""
    return [
        (case, _window(case, group, nursery, today))
        for group in groups
        for case in group.cases
        if needed(case)
    ]


def _window(case: Case, group: Group, nursery: Nursery, today: dt.date) -> PotOn:
    stage, state = case.record.taking, case.state
    at = group.position(state.code)
    days = group.posterior.batch(at).pot_on_days(stage.share)
    ripe = group.clocks[at].window(days)
    dates = [into_gate(date, state.on, stage.gate, nursery, today) for date in ripe]
    words = season_words(stage.gate, nursery)
    why = worded(
        "when {share:.0f} % of those that take are {taken}",
        share=stage.share * 100,
        taken=worded(case.method.taken),
    )
    early, likely, late = dates
    return PotOn(early, likely, late, in_a_row([why, words], "; ") if words else why)


def _reasons(group: Group, at: int) -> Iterable[str]:
    """What the answer rests on, in words."""
    from propagate.planning.reasons import reasons_in_words  # not needed for what is due

    yield from reasons_in_words(group, at)
    if group.clocks[at].said:
        yield group.clocks[at].said


def _totals(
    groups: Sequence[Group],
    chosen: set[str],
    nursery: Nursery,
    today: dt.date,
    by: dt.date | None,
) -> list[PlantTotal]:
    """Sums by plant: within a group what the batches share is kept, groups are independent."""
    parts: dict[PlantName, list[_Part]] = {}
    for group in groups:
        for name in dict.fromkeys(case.state.name for case in group.cases):
            which = [
                at
                for at, case in enumerate(group.cases)
                if case.state.name == name and case.state.code in chosen
            ]
            if which:
                future, ready = group.outcome(which, by, nursery, today)
                part = _Part(future, ready, [group.cases[at] for at in which])
                parts.setdefault(name, []).append(part)
    return [_total(name, each, nursery.chance) for name, each in parts.items()]


@frozen(eq=False)
class _Part:
    """Batches of one plant by one method: how many more will root, and how many can go out."""

    future: Pmf
    ready: Pmf
    cases: list[Case]


def _total(name: PlantName, parts: list[_Part], chance: float) -> PlantTotal:
    future, ready = (
        counts.total(pmfs)
        for pmfs in ([part.future for part in parts], [part.ready for part in parts])
    )
    cases = [case for part in parts for case in part.cases]
    raised = sum(case.state.raised for case in cases)
    return PlantTotal(name, _count(future, raised, chance), _free(ready, cases, chance))
