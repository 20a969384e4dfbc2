"""Where batches are from and where their plants went, for whoever has to trace them."""

import datetime as dt
from collections import Counter
from collections.abc import Callable, Mapping, Sequence

from propagate.ledger import BatchState, Kind, StockPlantState
from propagate.names import PlantName
from propagate.planning.benches import Said, subject_of
from propagate.planning.case import Case
from propagate.records.worksheets import Departure, Origin, OriginBook

OUT = (Kind.GIVEN, Kind.PLANTED)


def origin_book(
    cases: Sequence[Case],
    mothers: Mapping[str, StockPlantState],
    said: Said,
    nursery: str,
    today: dt.date,
    protected: Callable[[PlantName], bool] = lambda _: False,
) -> OriginBook:
    """Every batch by plant, then by the day it was started."""
    ordered = sorted(cases, key=lambda case: (case.state.name, case.state.on, case.state.code))
    return OriginBook(
        nursery, today, tuple(_origin(case, mothers, said, protected) for case in ordered)
    )


def _origin(
    case: Case,
    mothers: Mapping[str, StockPlantState],
    said: Said,
    protected: Callable[[PlantName], bool],
) -> Origin:
    state, started = case.state, case.state.started
    mother = mothers.get(started.stock_plant)
    notes = [mother.added.note if mother else "", started.note]
    return Origin(
        subject=subject_of(case, said),
        method=case.method.name,
        started=state.on,
        count=state.count,
        mother=started.stock_plant,
        raised_from=mother.added.batch if mother else "",
        source="; ".join(note for note in notes if note),
        stood=tuple(state.places),
        departures=departures(state),
        here=state.living,
        lost=state.total(Kind.LOST),
        miscounted=state.total(Kind.MISCOUNTED),
        for_sale=state.for_sale,
        protected=protected(state.name),
    )


def departures(state: BatchState) -> tuple[Departure, ...]:
    """The plants that left a batch, by day and by whom or where they went."""
    left: Counter[tuple[dt.date, str, str]] = Counter()
    for move in state.moves:
        if move.target.kind in OUT:
            left[move.on, str(move.target.kind), move.target.detail] += move.count
    return tuple(Departure(on, n, how, to) for (on, how, to), n in sorted(left.items()))
