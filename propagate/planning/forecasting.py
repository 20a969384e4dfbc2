"""From groups of batches to answers: when to pot on, how many plants will come.

groups -> one answer each batch, and for each plant the sum over its batches with what they
have in common kept
"""

import datetime as dt
from collections.abc import Callable, Iterable, Sequence

import numpy as np
from attrs import frozen

from propagate.ledger import Kind
from propagate.names import PlantName
from propagate.planning.case import Case
from propagate.planning.groups import ClockMaker, Coming, Group, Pmf, by_calendar, make_groups
from propagate.planning.plantcounts import plant_count
from propagate.planning.seasons import into_gate, season_words
from propagate.records.answers import (
    BatchForecast,
    Forecast,
    PlantCount,
    PlantTotal,
    PotOn,
)
from propagate.records.methods import MethodRecord
from propagate.records.nursery import Nursery
from propagate.science import counts
from propagate.science.take import beta_from_range
from propagate.units import DAYS_PER_WEEK
from propagate.worded import in_a_row, worded


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
    return put_together([told_by(groups, wanted, nursery, as_of, by)], cases, nursery, as_of, by)


@frozen(eq=False)
class Told:
    """What some groups told: an answer for each batch, and a part of each plant's total."""

    answers: list[BatchForecast]
    parts: list["_Part"]


def told_by(
    groups: Iterable[Group],
    wanted: Iterable[str],
    nursery: Nursery,
    as_of: dt.date,
    by: dt.date | None = None,
) -> Told:
    """What groups tell of those of their batches whose codes are `wanted`."""
    chosen = set(wanted)
    answers: list[BatchForecast] = []
    parts: list[_Part] = []
    for group in groups:
        for name, which in _by_name(group, chosen).items():
            coming = [group.coming(at, by, nursery, as_of) for at in which]
            each = [_part(name, group, [one]) for one in coming]
            answers += [
                _batch_answer(one.case, part, group, nursery, as_of, by)
                for one, part in zip(coming, each, strict=True)
            ]
            parts.append(each[0] if len(each) == 1 else _part(name, group, coming))
    return Told(answers, parts)


def put_together(
    told: Iterable[Told],
    cases: Sequence[Case],
    nursery: Nursery,
    as_of: dt.date,
    by: dt.date | None = None,
) -> Forecast:
    """The answer for all batches, in the order of `cases`, from what the groups told."""
    answers: list[BatchForecast] = []
    parts: dict[PlantName, list[_Part]] = {}
    for piece in told:
        answers += piece.answers
        for part in piece.parts:
            parts.setdefault(part.name, []).append(part)
    totals = [_total(name, of_name, nursery.chance) for name, of_name in parts.items()]
    order = {case.state.code: at for at, case in enumerate(cases)}
    return Forecast(
        as_of=as_of,
        by=by,
        batches=tuple(sorted(answers, key=lambda answer: order[answer.batch])),
        totals=tuple(sorted(totals, key=lambda total: total.plant)),
    )


def _by_name(group: Group, chosen: set[str]) -> dict[PlantName, list[int]]:
    """Where the chosen batches of each plant stand in a group."""
    found: dict[PlantName, list[int]] = {}
    for at, case in enumerate(group.cases):
        if case.state.code in chosen:
            found.setdefault(case.state.name, []).append(at)
    return found


@frozen(eq=False)
class _Part:
    """Batches of one plant by one method: how many more will root, and how many will be fit to go.

    `in_time` is the mean number that can go out, `stays` the share of them that comes through
    its time in the pot, `fit` the law of how many then do. The rest are plain counts.
    """

    name: PlantName
    future: Pmf
    fit: Pmf
    in_time: float
    stays: float
    raised: int
    found_ready: int
    promised: int

    def plants(self, chance: float) -> PlantCount:
        """All that the batches have given or will give, alive."""
        return plant_count(self.future, self.raised, chance)


def _part(name: PlantName, group: Group, coming: Sequence[Coming]) -> _Part:
    cases = [each.case for each in coming]
    future, ready = group.outcome(coming)
    a, b = _establishes(cases[0].record)
    return _Part(
        name=name,
        future=future,
        fit=counts.thinned(ready, a / (a + b), a + b) if b else ready,
        in_time=counts.mean(ready),
        stays=a / (a + b),
        raised=sum(case.state.raised for case in cases),
        found_ready=sum(case.state.total(Kind.READY) for case in cases),
        promised=sum(case.state.promised.total() for case in cases),
    )


def _establishes(record: MethodRecord) -> tuple[float, float]:
    """Beta law (a, b) of the share that comes through its time in the pot; b is 0 where all do."""
    stage = record.establishing
    if stage is None or stage.take is None:
        return 1.0, 0.0
    return beta_from_range(stage.take.low, stage.take.high)


def _batch_answer(
    case: Case, part: _Part, group: Group, nursery: Nursery, as_of: dt.date, by: dt.date | None
) -> BatchForecast:
    state, at = case.state, group.position(case.state.code)
    return BatchForecast(
        batch=state.code,
        plant=state.name,
        method=case.method.id,
        started=state.on,
        count=state.count,
        accounts=case.accounts,
        pot_on=_window(case, group, nursery, as_of),
        plants=part.plants(nursery.chance),
        free=_free(part.fit, [part], nursery.chance),
        why=tuple(_reasons(group, at)),
        expected=_expected(part, case) if by else {},
    )


def _expected(part: _Part, case: Case) -> dict[str, float]:
    """The mean number in each account on the day that the distributions are for."""
    state, rooting = case.state, counts.mean(part.future)
    growing, in_time = state.grown - state.total(Kind.READY), part.in_time
    expected = {
        f"not {case.method.taken}": len(part.future) - 1 - rooting,
        "growing on": growing + rooting - in_time,
        str(Kind.READY): state.total(Kind.READY) + in_time * part.stays,
        "failed in pots": in_time * (1 - part.stays),
    }
    gone = (Kind.PLANTED, Kind.GIVEN, Kind.LOST, Kind.MISCOUNTED)
    return expected | {str(kind): float(state.total(kind)) for kind in gone if state.total(kind)}


def _free(fit: Pmf, parts: Sequence[_Part], chance: float) -> PlantCount:
    """Plants left for beds: those fit to go, less what is promised; never below none."""
    ready = sum(part.found_ready for part in parts)
    promised = sum(part.promised for part in parts)
    return plant_count(_less(fit, promised - ready), max(0, ready - promised), chance)


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
    clock = group.clocks[at]
    first = clock.date(stage.weeks.soonest * DAYS_PER_WEEK) if clock.said else None
    return PotOn(early, likely, late, in_a_row([why, words], "; ") if words else why, first)


def _reasons(group: Group, at: int) -> Iterable[str]:
    """What the answer rests on, in words."""
    from propagate.planning.reasons import reasons_in_words  # not needed for what is due

    yield from reasons_in_words(group, at)
    if group.clocks[at].said:
        yield group.clocks[at].said


def _total(name: PlantName, parts: list[_Part], chance: float) -> PlantTotal:
    """The sum over the methods of a plant, which tell each other nothing."""
    future, fit = parts[0].future, parts[0].fit
    if len(parts) > 1:
        future = counts.total([part.future for part in parts])
        fit = counts.total([part.fit for part in parts])
    raised = sum(part.raised for part in parts)
    return PlantTotal(name, plant_count(future, raised, chance), _free(fit, parts, chance))
