"""The stock sheet's figures: every batch where its plants stand, by plant, with totals."""

import datetime as dt
from collections.abc import Callable, Sequence
from itertools import groupby

from propagate.ledger import BatchState
from propagate.names import PlantName
from propagate.planning.benches import Said
from propagate.planning.case import Case
from propagate.records.answers import BatchForecast, Forecast, PlantCount, PlantTotal
from propagate.records.nursery import Nursery
from propagate.records.prints import Expected, SheetGroup, SheetRow, StockSheet
from propagate.records.standing import Standing

STRIP_DAYS = (60, 400)
"""A season line reaches at least so far ahead of the day of the sheet, and no further."""


def stock_sheet(
    cases: Sequence[Case],
    forecast: Forecast,
    nursery: Nursery,
    said: Said,
    protected: Callable[[PlantName], bool] = lambda _: False,
) -> StockSheet:
    """The whole sheet; `said` is what the library says of each batch's plant."""
    answers = {answer.batch: answer for answer in forecast.batches}
    totals = {total.plant: total for total in forecast.totals}
    ordered = sorted(cases, key=lambda case: (case.state.name, case.state.on, case.state.code))
    groups = []
    for name, members in groupby(ordered, key=lambda case: case.state.name):
        its = list(members)
        rows = [_row(c, answers[c.state.code], said[c.state.code][1]) for c in its]
        common = said[its[0].state.code][0]
        groups.append(_group(its, common, rows, totals[name], protected=protected(name)))
    first, last = _season_line(forecast)
    return StockSheet(
        nursery=nursery.name,
        as_of=forecast.as_of,
        chance=nursery.chance,
        first=first,
        last=last,
        groups=tuple(groups),
        started=sum(group.started for group in groups),
        standing=sum((group.standing for group in groups), Standing()),
    )


def _group(
    its: Sequence[Case],
    common: str,
    rows: Sequence[SheetRow],
    total: PlantTotal,
    *,
    protected: bool,
) -> SheetGroup:
    """One plant with its batches, and what they come to together."""
    states = [case.state for case in its]
    return SheetGroup(
        name=states[0].name,
        common=common,
        rows=tuple(rows),
        started=sum(state.count for state in states),
        standing=_standing(states),
        expected=_expected(total.plants, total.free, sum(map(_promised, states))),
        protected=protected,
    )


def _row(case: Case, answer: BatchForecast, cautions: tuple[str, ...]) -> SheetRow:
    state = case.state
    return SheetRow(
        code=state.code,
        method=case.method.name,
        started=state.on,
        count=state.count,
        place=state.place,
        standing=state.standing,
        expected=_expected(answer.plants, answer.free, _promised(state)),
        early=answer.pot_on.early,
        likely=answer.pot_on.likely,
        late=answer.pot_on.late,
        finished=not state.living,
        trays=", ".join(state.trays),
        cautions=cautions,
        for_sale=state.for_sale,
    )


def _standing(states: Sequence[BatchState]) -> Standing:
    return sum((state.standing for state in states), Standing())


def _promised(state: BatchState) -> int:
    return state.promised.total()


def _expected(plants: PlantCount, free: PlantCount, promised: int) -> Expected:
    return Expected(
        low=plants.low,
        likely=plants.likely,
        high=plants.high,
        promised=promised,
        free_low=free.low,
        free_likely=free.likely,
        free_high=free.high,
    )


def _season_line(forecast: Forecast) -> tuple[dt.date, dt.date]:
    """From the month of the earliest start shown to the month after the latest window."""
    as_of = forecast.as_of
    least, most = (as_of + dt.timedelta(days=days) for days in STRIP_DAYS)
    starts = [answer.started for answer in forecast.batches]
    ends = [answer.pot_on.late for answer in forecast.batches]
    first = max(min([as_of, *starts]), as_of - dt.timedelta(days=STRIP_DAYS[1]))
    last = min(max([least, *ends]), most)
    return first.replace(day=1), (last.replace(day=1) + dt.timedelta(days=62)).replace(day=1)
