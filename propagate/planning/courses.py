"""Where the plants of a batch stand in the weeks to come: in the tray, in pots, gone.

A batch waits in its tray until some day of its pot-on window, then its rooted plants stand in
pots until they are established and their season has come, and then leave. Pots already filled
leave the same way. Dead plants' places are not taken to be filled again.
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np
from attrs import frozen

from propagate.ledger import IN_TRAY, Kind
from propagate.planning.case import Case
from propagate.planning.clocks import ONE_DAY
from propagate.planning.groups import Group
from propagate.planning.seasons import into_gate
from propagate.records.answers import PotOn
from propagate.records.methods import Stage
from propagate.records.nursery import Nursery
from propagate.science.timing import Array
from propagate.units import DAYS_PER_WEEK

IN_POTS: Final = (Kind.POTTED, Kind.HARDENING, Kind.READY)

KNOWN_AT: Final = (0.1, 0.5, 0.9)
"""Where the law of a day is known: early, likely and late."""

POINTS: Final = tuple((at + 0.5) / 10 for at in range(10))
"""Equally likely points by which the law of a day is carried on."""


@frozen(eq=False)
class Course:
    """One batch's chances on each of the days asked about, (days,).

    `waiting`: its tray stands; `potted`: what came of it stands in pots; `still_potted`: the
    pots it fills already are still there.
    """

    case: Case
    group: Group
    at: int
    waiting: Array
    potted: Array
    still_potted: Array
    pot_on: tuple[dt.date, ...]

    def potted_by(self, until: dt.date) -> float:
        """The chance that it is potted on by a day."""
        return sum(day <= until for day in self.pot_on) / max(len(self.pot_on), 1)


def course_of(
    group: Group, at: int, window: PotOn, nursery: Nursery, today: dt.date, days: Sequence[dt.date]
) -> Course:
    """The course of one batch of a group, whose pot-on window is known already."""
    case = group.cases[at]
    on = np.array([day.toordinal() for day in days])
    pot_on = _pot_on_days(case, window, today)
    potted_on = np.array([day.toordinal() for day in pot_on])[:, None]
    leaves = np.array([_leaving_days(case, day, nursery, today) for day in pot_on])
    waiting = (on < potted_on) & (on >= case.state.on.toordinal())
    potted = (on >= potted_on)[:, None] & (on < leaves[:, :, None])
    in_tray = case.state.total(*IN_TRAY) > 0
    return Course(
        case=case,
        group=group,
        at=at,
        waiting=waiting.mean(axis=0) * in_tray,
        potted=potted.mean(axis=(0, 1)) * in_tray,
        still_potted=_still_potted(case, nursery, today, on),
        pot_on=pot_on if in_tray else (),
    )


class Containers:
    """What plants are potted into: as before, else as the last of their kind, else of their way."""

    def __init__(self, cases: Iterable[Case]) -> None:
        self._latest: dict[tuple[str, ...], tuple[dt.date, str]] = {}
        for case in cases:
            used = [into for into in case.state.containers if into[1]]
            for key in _alike(case) if used else ():
                self._latest[key] = max(*used, self._latest.get(key, used[0]))

    def of(self, case: Case) -> str:
        """The container for a batch, empty where the book tells of none."""
        return next((self._latest[key][1] for key in _alike(case) if key in self._latest), "")


def _alike(case: Case) -> Iterable[tuple[str, ...]]:
    """What a batch is like, the closest first: itself, its kind by its method, its method."""
    return (
        ("batch", case.state.code),
        (case.method.id, case.state.name.species_name),
        (case.method.id,),
    )


def _pot_on_days(case: Case, window: PotOn, today: dt.date) -> tuple[dt.date, ...]:
    """Equally likely days of potting on; for one that is past, tomorrow: today it still stands."""
    ordinals = [day.toordinal() for day in (window.early, window.likely, window.late)]
    first = max(today + ONE_DAY, case.state.on).toordinal()
    return tuple(dt.date.fromordinal(max(first, round(o))) for o in _spread(ordinals))


def _leaving_days(case: Case, potted: dt.date, nursery: Nursery, today: dt.date) -> list[int]:
    """Equally likely days on which plants potted on a day leave their pots, as ordinals."""
    stage = case.record.establishing
    if stage is None:
        return [potted.toordinal()]
    return [
        into_gate(
            potted + dt.timedelta(days=round(wait)), case.state.on, stage.gate, nursery, today
        ).toordinal()
        for wait in _establishing_days(stage)
    ]


def _establishing_days(stage: Stage) -> Sequence[float]:
    low, high = stage.weeks.soonest * DAYS_PER_WEEK, stage.weeks.latest * DAYS_PER_WEEK
    return _spread((low, (low + high) / 2, high))[1::4]


def _still_potted(case: Case, nursery: Nursery, today: dt.date, on: Array) -> Array:
    potted = case.last_into(Kind.POTTED)
    if not case.state.total(*IN_POTS) or potted is None:
        return np.zeros(len(on))
    leaves = np.array(_leaving_days(case, potted, nursery, today))
    leaves = np.maximum(leaves, today.toordinal())
    return np.asarray((on <= leaves[:, None]).mean(axis=0))


def _spread(known: Sequence[float]) -> list[float]:
    """POINTS of the law whose 10, 50 and 90 % points are known, straight between them.

    Beyond the outer ones it runs on as steeply as it comes.
    """
    early, likely, late = known
    ends = (early - (likely - early) / 4, *known, late + (late - likely) / 4)
    return np.interp(POINTS, (0.0, *KNOWN_AT, 1.0), ends).tolist()
