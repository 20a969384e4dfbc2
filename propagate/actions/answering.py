"""The questions both faces ask: what will come, what is due, what stands where."""

import datetime as dt
import difflib
from collections.abc import Iterable, Sequence

from propagate.actions.desk import Desk
from propagate.actions.recording import BatchPlan, batch_code
from propagate.days import written
from propagate.errors import NotFound, PropagateError
from propagate.ledger import BatchState, StockPlantState
from propagate.planning.case import Case
from propagate.planning.due import due_tasks
from propagate.planning.forecasting import make_forecast, pot_on_windows
from propagate.planning.seasons import local_months
from propagate.records.answers import BatchForecast, DueTask, Forecast


def cases(desk: Desk) -> list[Case]:
    """Every batch of the book with its method and record, in the order they were started."""
    states = sorted(desk.book.batches.values(), key=lambda state: (state.on, state.entry_seq))
    return [_case(desk, state) for state in states]


def _case(desk: Desk, state: BatchState) -> Case:
    match = desk.library.record(state.started.method, state.name)
    return Case(state, desk.library.method(state.started.method), match.record, match.said)


def forecast(desk: Desk, what: Sequence[str] = (), by: dt.date | None = None) -> Forecast:
    """Answer for batches by code, mark, tray or plant; for every batch when `what` is empty."""
    every = cases(desk)
    codes = [case.state.code for case in every]
    wanted = codes if not what else [code for text in what for code in _meant(desk, text, every)]
    return make_forecast(every, wanted, desk.nursery, desk.today, by)


def forecast_batch(desk: Desk, code: str) -> BatchForecast:
    """Answer for one batch."""
    return forecast(desk, [code]).batches[0]


def due(desk: Desk, weeks: int | None = None) -> list[DueTask]:
    """Jobs up to `weeks` from today, all of them when None, soonest first; late ones included."""
    windows = pot_on_windows(cases(desk), desk.nursery, desk.today)
    tasks = due_tasks(windows, desk.nursery, desk.today)
    if weeks is None:
        return tasks
    return [task for task in tasks if task.date <= desk.today + dt.timedelta(weeks=weeks)]


def accounts_of(desk: Desk, code: str) -> dict[str, int]:
    """Where the plants of a batch stand, under the method's own words."""
    return _case(desk, desk.book.batch(code)).accounts


def mothers(desk: Desk) -> list[tuple[str, StockPlantState, list[str]]]:
    """Every mother plant with the codes of the batches taken from her."""
    taken: dict[str, list[str]] = {}
    for code, state in desk.book.batches.items():
        taken.setdefault(state.started.stock_plant, []).append(code)
    return [(key, s, taken.get(key, [])) for key, s in sorted(desk.book.stock_plants.items())]


def start_remarks(desk: Desk, typed: str, plan: BatchPlan) -> Iterable[str]:
    """What looks like a slip in a batch just started, none of it a reason to refuse."""
    from propagate.names import remarks

    if typed.casefold().startswith(plan.plant.genus.casefold()):  # not a common name
        yield from remarks(typed)
    if plan.on > desk.today:
        yield f"{written(plan.on)} has not come yet; propagate undo takes the batch back."
    months = local_months(
        desk.library.record(plan.method, plan.plant).record.season.months, desk.nursery
    )
    if plan.on.month not in months:
        yield f"{written(plan.on)} is outside the usual season for this; months {_months(months)}."
    others = [key for key in desk.book.stock_plants if key != plan.stock_plant]
    near = difflib.get_close_matches(plan.stock_plant, others, n=1, cutoff=0.8)
    if plan.stock_plant and near:
        yield f'there is a mother plant "{near[0]}" too; was that the one?'
    if plan.place and plan.place not in desk.nursery.places:
        known = difflib.get_close_matches(plan.place, desk.nursery.places, n=1)
        if known:
            yield f'"{plan.place}" is not in the settings; there is "{known[0]}".'


def _months(months: Iterable[int]) -> str:
    return ", ".join(dt.date(2000, month, 1).strftime("%b") for month in months)


def _meant(desk: Desk, text: str, every: Sequence[Case]) -> list[str]:
    """The codes of the batches that a word of a command means."""
    in_tray = [c.state.code for c in every if text in c.state.started.trays]
    if in_tray:
        return in_tray
    try:
        return [batch_code(desk.book, text)]
    except PropagateError as no_batch:
        try:
            name = desk.library.resolve(text)
        except NotFound:
            raise no_batch from None
    found = [
        case.state.code
        for case in every
        if case.state.name == name
        or (not name.is_cultivar and case.state.name.species_name == name.species_name)
        or (not name.species and case.state.name.genus == name.genus)
    ]
    if not found:
        raise NotFound(f"There is no batch of {name} in this book.")
    return found
