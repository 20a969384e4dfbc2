"""The questions both faces ask: what will come, what is due, what stands where."""

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from itertools import chain
from typing import TYPE_CHECKING, TypeVar

from propagate.abreast import abreast
from propagate.actions.chilling import ChillingMaker
from propagate.actions.desk import Desk
from propagate.actions.meaning import batch_meant, batches_meant
from propagate.ledger import IN_TRAY, BatchState, StockPlantState
from propagate.planning.case import Case, stays, stood_since
from propagate.planning.due import due_tasks
from propagate.planning.forecasting import (
    Told,
    answer_from,
    pot_on_windows,
    put_together,
    told_by,
)
from propagate.planning.groups import (
    ClockMaker,
    Group,
    LearnMethod,
    anew,
    by_calendar,
    make_groups,
)
from propagate.records.answers import BatchForecast, DueTask, Forecast, PotOn

if TYPE_CHECKING:
    from propagate.planning.clocks import StageClock
    from propagate.planning.reasons import Reasons
    from propagate.planning.warmthclocks import Clocks
    from propagate.records.fans import Fan

Answer = TypeVar("Answer")


def cases(desk: Desk) -> list[Case]:
    """Every batch of the book with its method and record, in the order they were started."""
    return desk.remember("cases", lambda: _cases_of(desk, desk.book.batches.values()))


def cases_beside(desk: Desk, codes: Iterable[str]) -> list[Case]:
    """Some batches, and all others of their methods; the records of no other method are read."""
    batches = desk.book.batches
    methods = {batches[code].started.method for code in codes}

    def made() -> list[Case]:
        states = (state for state in batches.values() if state.started.method in methods)
        return _cases_of(desk, states)

    return desk.remember(" ".join(["cases", *sorted(methods)]), made)


def _cases_of(desk: Desk, states: Iterable[BatchState]) -> list[Case]:
    chillings = ChillingMaker(desk)
    in_order = sorted(states, key=lambda state: (state.on, state.entry_seq))
    return [case_of(desk, state, chillings) for state in in_order]


def case_of(desk: Desk, state: BatchState, chillings: ChillingMaker | None = None) -> Case:
    """A batch with its method and the record that serves it."""
    maker = chillings or ChillingMaker(desk)
    match = desk.library.record(state.started.method, state.name)
    method, record = desk.library.method(state.started.method), match.record
    return Case(state, method, record, match.said, desk.today, maker.of(state, record))


def forecast(
    desk: Desk, what: Sequence[str] = (), by: dt.date | None = None, *, last: bool = False
) -> Forecast:
    """Answer for batches by code, mark, tray or plant; for every batch when `what` is empty.

    `last` says that this is all that is asked of the desk, so that a large book may be worked
    out by several processes: what they learned does not come back.
    """
    if what or not last:
        return _answer(desk, what, by)[1]
    every = cases(desk)
    wanted = [case.state.code for case in every]

    def tell(groups: Sequence[Group]) -> Told:
        return told_by(groups, wanted, desk.nursery, desk.today, by)

    told = _told_abreast(desk, every, tell)
    return put_together(told, every, desk.nursery, desk.today, by)


def _answer(
    desk: Desk, what: Sequence[str], by: dt.date | None = None
) -> tuple[list[Group], Forecast]:
    """The same, and the groups that it rests on."""
    if what:
        wanted = [code for text in what for code in batches_meant(desk, text)]
        every = cases_beside(desk, wanted)
        groups = _learned(desk, every)
    else:
        every = cases(desk)
        wanted = [case.state.code for case in every]
        groups = groups_of(desk, every)
    return groups, answer_from(groups, every, wanted, desk.nursery, desk.today, by)


LARGE = 300
"""So many batches are worth the start of more processes, some hundredths of a second."""


def _told_abreast(
    desk: Desk, every: Sequence[Case], tell: Callable[[Sequence[Group]], Answer]
) -> list[Answer]:
    """What is told of the groups of each method, several methods at a time in a large book."""
    methods = Counter(case.method.id for case in every)
    if len(every) < LARGE:
        return [tell(_learned(desk, every))]
    return abreast(
        lambda method: tell(_learned(desk, every, {method})), list(methods), list(methods.values())
    )


def forecast_batch(desk: Desk, code: str) -> BatchForecast:
    """Answer for one batch."""
    return forecast(desk, [code]).batches[0]


def clock_maker(desk: Desk, every: Sequence[Case]) -> ClockMaker:
    """The clocks of batches: by warmth where their record says so and temperatures are known."""
    made: list[Clocks] = []

    def clock_of(case: Case, start: dt.date) -> "StageClock":
        if not _warmth_known(desk, case, start):
            return by_calendar(case, start)
        if not made:  # nothing of the weather is loaded or read before a batch asks for it
            from propagate.actions.weathering import clocks_of

            made.append(clocks_of(desk, every))
        return made[0].of(case.record.taking, stays(case, desk.nursery, start), start)

    return clock_of


def _warmth_known(desk: Desk, case: Case, start: dt.date) -> bool:
    """Whether a batch counts by warmth and something is known of where it stood since then."""
    nursery = desk.nursery
    if case.record.taking.clock != "warmth":
        return False
    if nursery.weather.files or nursery.weather.normals:
        return True
    stood = [nursery.places.get(place) for place in stood_since(case.state, start)]
    return any(place is not None and place.is_steady for place in stood)


def fan(desk: Desk, what: Sequence[str], by: dt.date | None = None) -> "Fan":
    """The plants to come of one batch or one plant, week by week, for a drawing."""
    from propagate.planning.fans import make_fan

    return make_fan(*_answer(desk, what, by), desk.nursery)


def reasons(desk: Desk, batch: str) -> "Reasons":
    """What the answer for one batch rests on: the library, the other trays, its own checks."""
    from propagate.planning.reasons import explain

    code = batch_meant(desk, batch)
    groups, answer = _answer(desk, [code])
    return explain(_group_of(groups, code), answer.batches[0], desk.nursery)


def windows(desk: Desk) -> list[tuple[Case, PotOn]]:
    """Every batch with the days on which it is worth potting on."""
    return pot_on_windows(groups_of(desk, cases(desk)), desk.nursery, desk.today)


FARTHEST_WEEKS = 1000
"""Beyond so many weeks nothing is due, and days run out."""


def due(desk: Desk, weeks: int | None = None, *, last: bool = False) -> list[DueTask]:
    """Jobs up to `weeks` from today, all of them when None, soonest first; late ones included.

    `last` is as in `forecast`.
    """
    tasks = desk.remember("due", lambda: _all_due(desk, last))
    if weeks is None or weeks > FARTHEST_WEEKS:
        return list(tasks)
    return [task for task in tasks if task.date <= desk.today + dt.timedelta(weeks=weeks)]


def _all_due(desk: Desk, last: bool) -> list[DueTask]:
    every = cases(desk)
    in_tray = {case.state.code for case in every if case.state.total(*IN_TRAY)}
    behind = _behind(every, in_tray)
    if last and not _measured(desk):  # for the room of benches the groups are needed once more
        told = _told_abreast(desk, behind, lambda groups: _windows(desk, groups, in_tray))
        windows = dict(chain.from_iterable(each.items() for each in told))
    else:
        windows = _windows(desk, _learned(desk, behind), in_tray)
    looked_at = [(case, windows.get(case.state.code)) for case in every]
    tasks = [*due_tasks(looked_at, desk.nursery, desk.today), *_cold(desk, every)]
    tasks += _room(desk, every, windows)
    return sorted(tasks, key=lambda task: (task.date, task.batch, task.action))


def methods_due(desk: Desk, methods: set[str]) -> list[DueTask]:
    """The jobs of the batches of some methods, apart from the room that all take together."""
    every = cases(desk)
    chosen = [case for case in every if case.method.id in methods]
    in_tray = {case.state.code for case in chosen if case.state.total(*IN_TRAY)}
    windows = _windows(desk, _learned(desk, every, methods), in_tray)
    looked_at = [(case, windows.get(case.state.code)) for case in chosen]
    tasks = [*due_tasks(looked_at, desk.nursery, desk.today), *_cold(desk, chosen)]
    return sorted(tasks, key=lambda task: (task.date, task.batch, task.action))


def learn_all(desk: Desk) -> None:
    """Learn from all batches, so that it is kept beside the book for the next question."""
    _told_abreast(desk, cases(desk), lambda _: None)


def next_due(desk: Desk, code: str) -> DueTask | None:
    """The first job to come of one batch, None where there is none."""
    every = cases_beside(desk, [code])
    [case] = [case for case in every if case.state.code == code]
    in_tray = {code} if case.state.total(*IN_TRAY) else set()
    windows = _windows(desk, _learned(desk, every) if in_tray else (), in_tray)
    tasks = due_tasks([(case, windows.get(code))], desk.nursery, desk.today)
    return tasks[0] if tasks else None


def learned_methods(desk: Desk) -> set[str]:
    """The methods whose batches were learned from since the book was opened."""
    return set(desk.lasting)


def _windows(desk: Desk, groups: Sequence[Group], codes: set[str]) -> dict[str, PotOn]:
    """The days on which some batches are worth potting on, by their codes."""
    wanted = pot_on_windows(groups, desk.nursery, desk.today, lambda c: c.state.code in codes)
    return {case.state.code: window for case, window in wanted}


def _room(desk: Desk, every: Sequence[Case], known: dict[str, PotOn]) -> list[DueTask]:
    """Warnings where a place will hold more than it has bench for; `known` are windows."""
    if not _measured(desk):
        return []
    from propagate.planning.benchspace import Question, room_tasks

    living = {case.state.code for case in every if case.state.living}
    groups = _learned(desk, _behind(every, living))
    windows = known | _windows(desk, groups, living - known.keys())
    return room_tasks(groups, Question(desk.nursery, desk.today, windows))


def _measured(desk: Desk) -> bool:
    """Whether the size of any place is known."""
    return any(place.size_m2 is not None for place in desk.nursery.places.values())


def groups_of(desk: Desk, every: Sequence[Case]) -> list[Group]:
    """Batches learned from together, each counting its days as its place lets it."""
    if every is not cases(desk):  # not those of the book, but some that might be
        return _learned(desk, every, learn=anew)
    return desk.remember("groups", lambda: _learned(desk, every))


def _behind(every: Sequence[Case], codes: set[str]) -> list[Case]:
    """The batches of the methods of some: no others tell anything of them."""
    methods = {case.method.id for case in every if case.state.code in codes}
    return [case for case in every if case.method.id in methods]


def _learned(
    desk: Desk,
    every: Sequence[Case],
    methods: set[str] | None = None,
    learn: LearnMethod | None = None,
) -> list[Group]:
    """The groups of all methods, or some; what is as before an entry is not learned anew."""
    by_method: dict[str, list[Case]] = {}
    for case in every:
        if methods is None or case.method.id in methods:
            by_method.setdefault(case.method.id, []).append(case)
    groups: list[Group] = []
    for method, members in by_method.items():
        # A batch's chilling is not compared: it follows from the batch, its record and the weather.
        behind = [(case.state, case.record, case.as_of) for case in members]
        known, learned = desk.lasting.get(method, ((), ()))
        if known != behind:
            learned = make_groups(
                members, desk.nursery, clock_maker(desk, every), learn or desk.learn_method
            )
            desk.lasting[method] = behind, learned
        groups += learned
    return groups


def _group_of(groups: Sequence[Group], code: str) -> Group:
    return next(g for g in groups if code in [case.state.code for case in g.cases])


def _cold(desk: Desk, every: Sequence[Case]) -> list[DueTask]:
    """Warnings where a place was logged colder than what stands there can bear."""
    if not desk.nursery.weather.files:
        return []
    from propagate.actions.weathering import temperatures
    from propagate.planning.cold import cold_tasks

    return cold_tasks(every, desk.library, temperatures(desk), desk.today)


def accounts_of(desk: Desk, code: str) -> dict[str, int]:
    """Where the plants of a batch stand, under the method's own words."""
    return case_of(desk, desk.book.batch(code)).accounts


def mothers(desk: Desk) -> list[tuple[str, StockPlantState, list[str]]]:
    """Every mother plant with the codes of the batches taken from her."""
    taken: dict[str, list[str]] = {}
    for code, state in desk.book.batches.items():
        taken.setdefault(state.started.stock_plant, []).append(code)
    return [(key, s, taken.get(key, [])) for key, s in sorted(desk.book.stock_plants.items())]
