"""What each place holds in the weeks to come, against the bench it has.

batches -> their courses -> what each takes in a phase [m2] -> the law of each place's sum
"""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from typing import Final

import numpy as np
from attrs import Factory, frozen

from propagate.days import written
from propagate.ledger import IN_TRAY, Kind
from propagate.nearness import folded
from propagate.planning.case import Case
from propagate.planning.courses import IN_POTS, Containers, Course, course_of
from propagate.planning.groups import Group
from propagate.planning.space import container_called, footprint_m2, waiting_m2
from propagate.records.answers import DueTask, PotOn
from propagate.records.nursery import Container, Nursery, Place
from propagate.records.space import BatchSpace, BenchSpace, PlaceSpace, SpaceWeek
from propagate.science.occupancy import Phase, Shared, totals
from propagate.science.timing import Array
from propagate.worded import worded

WEEKS: Final = 53
HIGH: Final = 0.9

NOWHERE: Final = "(no place)"
"""How batches are listed that stand nowhere the book knows of."""

Windows = Mapping[str, PotOn]
"""The pot-on window of each batch, by its code."""


@frozen(eq=False)
class Taking:
    """What one batch takes of one place: its tray, the pots to come of it, or those it fills.

    It is there with a chance of each week. `amounts_m2` is what it takes then: one amount for
    what is known, or, where plants are still to be `counted`, one for each number of them.
    """

    place: str
    course: Course
    chance: Array
    amounts_m2: Array
    counted: bool = False

    @property
    def most_m2(self) -> float:
        """The most it can take in any week."""
        return float(self.amounts_m2[-1]) if self.chance.max() > 0 else 0.0

    @property
    def phase(self) -> Phase:
        """The same for the sum; only here the plants to come are counted."""
        course = self.course
        law = course.group.more_by(course.at, None) if self.counted else np.ones((1, 1))
        return Phase(self.chance, law, self.amounts_m2)


@frozen(eq=False)
class Question:
    """Which nursery is asked about, for which weeks, and what is known of containers used.

    `containers` names the container of a batch's tray, where one is known, by its code.
    """

    nursery: Nursery
    today: dt.date
    windows: Windows
    containers: Mapping[str, str] = Factory(dict)

    @cached_property
    def days(self) -> list[dt.date]:
        """The first day of each week asked about."""
        return [self.today + dt.timedelta(weeks=week) for week in range(WEEKS)]

    @cached_property
    def _places(self) -> dict[str, Place]:
        return {folded(place.name): place for place in self.nursery.places.values()}

    def has_size(self, case: Case) -> bool:
        """Whether somebody measured a place where a batch stands, or where its pots go."""
        return any(place.size_m2 is not None for place in self.places_of(case))

    def places_of(self, case: Case) -> tuple[Place, Place]:
        """Where the tray of a batch stands, and where its pots do."""
        here = self.place(case.state.place)
        return here, self.place(here.pots_to) if here.pots_to else here

    def place(self, name: str) -> Place:
        """The place of a name as the settings spell it; one they do not know is as it is."""
        return self._places.get(folded(name), Place(name or NOWHERE))


def bench_space(groups: Sequence[Group], question: Question) -> BenchSpace:
    """Every place over the coming year, in the order of the settings, then the others."""
    by_place = _by_place(groups, question)
    known = [place.name for place in question.nursery.places.values()]
    order = [*(name for name in known if name in by_place), *sorted(set(by_place) - set(known))]
    places = [_place_space(by_place[name], question) for name in order]
    return BenchSpace(question.today, tuple(p for p in places if p.fullest.expected_m2 > 0))


def room_tasks(groups: Sequence[Group], question: Question) -> list[DueTask]:
    """A job for each place that may be overfull within the year, due when that may begin.

    It is laid to the batch that takes most there. A place is looked at closely only where the
    most that its batches could take is more than it has.
    """
    tasks: list[DueTask] = []
    for name, takings in _by_place(groups, question, question.has_size).items():
        size = question.place(name).size_m2
        if size is not None and sum(taking.most_m2 for taking in takings) > size:
            tasks += _room_task(_place_space(takings, question))
    return tasks


def _room_task(space: PlaceSpace) -> Iterable[DueTask]:
    week = space.overfull
    if week is None or space.size_m2 is None:
        return
    most = max(space.batches, key=lambda batch: batch.fullest_m2)
    sure = week.expected_m2 > space.size_m2
    why = worded(
        "{size:g} m² {small} in the week from {day}: {expected:.1f} m² expected, up to {high:.1f}; "
        "this batch takes most",
        size=space.size_m2,
        small=worded("is too small") if sure else worded("may be too small"),
        day=written(week.date),
        expected=week.expected_m2,
        high=week.high_m2,
    )
    yield DueTask(week.date, most.batch, most.plant, "make room", why, space.place)


def _by_place(
    groups: Sequence[Group], question: Question, asked: Callable[[Case], bool] = lambda _: True
) -> dict[str, list[Taking]]:
    used = Containers(case for group in groups for case in group.cases)
    by_place: dict[str, list[Taking]] = {}
    for group in groups:
        for at, case in enumerate(group.cases):
            if case.state.living and asked(case):
                for taking in _takings(group, at, used, question):
                    if taking.most_m2 > 0:
                        by_place.setdefault(taking.place, []).append(taking)
    return by_place


def _takings(group: Group, at: int, used: Containers, question: Question) -> Iterable[Taking]:
    """What a batch takes where its tray stands, and where its pots do."""
    case, nursery = group.cases[at], question.nursery
    window = question.windows[case.state.code]
    course = course_of(group, at, window, nursery, question.today, question.days)
    here, there = question.places_of(case)
    pot = container_called(nursery, used.of(case))
    rooted, waiting = case.state.total(Kind.ROOTED), case.state.total(Kind.WAITING)
    tray_m2 = np.array([_tray_m2(case, question)])
    to_come_m2 = _pots_m2(pot, range(rooted, rooted + waiting + 1))
    filled_m2 = _pots_m2(pot, [case.state.total(*IN_POTS)])
    yield Taking(here.name, course, course.waiting, tray_m2)
    yield Taking(there.name, course, course.potted, to_come_m2, counted=True)
    yield Taking(there.name, course, course.still_potted, filled_m2)


def _pots_m2(pot: Container, counts: Sequence[int]) -> Array:
    """Bench of so many plants in a container, for several numbers of them."""
    return np.ceil(np.array(counts) / pot.cells) * footprint_m2(pot)


def _tray_m2(case: Case, question: Question) -> float:
    """Bench of the tray; what lies in the cold lies in a bag, and takes none."""
    state = case.state
    if question.place(state.place).cold:
        return 0.0
    tray = state.total(*IN_TRAY)
    return waiting_m2(question.nursery, case.record, tray, question.containers.get(state.code, ""))


def _place_space(takings: Sequence[Taking], question: Question) -> PlaceSpace:
    place = question.place(takings[0].place)
    groups = _shared(takings)
    law = totals(groups, WEEKS)
    mean, high, size = law.mean(), law.quantile(HIGH), place.size_m2
    overfull = None if size is None else law.chance_above(size)
    return PlaceSpace(
        place=place.name,
        size_m2=size,
        weeks=tuple(
            SpaceWeek(day, float(mean[w]), float(high[w]), _at(overfull, w))
            for w, day in enumerate(question.days)
        ),
        batches=_parts(takings, int(mean.argmax())),
    )


def _shared(takings: Sequence[Taking]) -> list[Shared]:
    """Takings by the group whose unknowns they share.

    The tray of a batch and the pots to come of it are never there together: they are phases
    of one thing. The pots that it fills already are another.
    """
    by_group: dict[int, tuple[Group, dict[tuple[str, bool], list[Phase]]]] = {}
    for taking in takings:
        group, code = taking.course.group, taking.course.case.state.code
        filled = taking.chance is taking.course.still_potted
        things = by_group.setdefault(id(group), (group, {}))[1]
        things.setdefault((code, filled), []).append(taking.phase)
    return [
        Shared(group.posterior.shared_weight, list(things.values()))
        for group, things in by_group.values()
    ]


def _parts(takings: Sequence[Taking], fullest: int) -> tuple[BatchSpace, ...]:
    """What each batch is expected to take now and in the fullest week, the largest first."""
    parts: dict[str, BatchSpace] = {}
    for taking in takings:
        state = taking.course.case.state
        amount = taking.phase.expected(taking.course.group.posterior.shared_weight)
        so_far = parts.get(state.code, BatchSpace(state.code, state.name, 0.0, 0.0))
        parts[state.code] = BatchSpace(
            state.code,
            state.name,
            so_far.now_m2 + float(amount[0]),
            so_far.fullest_m2 + float(amount[fullest]),
        )
    kept = (part for part in parts.values() if part.now_m2 + part.fullest_m2 > 0)
    return tuple(sorted(kept, key=lambda part: (-part.fullest_m2, part.batch)))


def _at(chances: Array | None, week: int) -> float | None:
    return None if chances is None else float(chances[week])
