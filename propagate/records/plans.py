"""A plan: what to start, when, from which mothers, on which bench, and why."""

import datetime as dt

from attrs import frozen

from propagate.names import PlantName
from propagate.records.beds import Want


@frozen
class Gap:
    """Plants that are wanted by one day and will not come without a new start.

    Wants of one plant, day, certainty and priority are one gap. `short` is how many are
    missing at the asked certainty.
    """

    wants: tuple[Want, ...]
    short: int

    @property
    def plant(self) -> PlantName:
        """What is wanted."""
        return self.wants[0].plant

    @property
    def by(self) -> dt.date:
        """The day it is wanted by."""
        return self.wants[0].by

    @property
    def chance(self) -> float:
        """How sure it is to be."""
        return self.wants[0].chance

    @property
    def priority(self) -> int:
        """1 goes first."""
        return self.wants[0].priority

    @property
    def open(self) -> int:
        """All that is still to come to these beds, started already or not."""
        return sum(want.open for want in self.wants)

    @property
    def beds(self) -> str:
        """The beds by name."""
        return ", ".join(want.name for want in self.wants)


@frozen
class PlanLine:
    """One batch to start.

    `last_start` is the last day on which so many, or more, would still do. `gives` is the
    likely number of plants by the day, `chance` that all of the gap is filled (by all lines
    of the gap together). `mothers` are how many mother plants the material takes, 0 for seed;
    `tray_m2` and `pots_m2` what it covers before and after potting on, where it takes bench;
    `work` the hours of each day on which there is much to do.
    """

    plant: PlantName
    method: str
    method_name: str
    count: int
    start: dt.date
    last_start: dt.date
    place: str
    container: str
    mother: str
    mothers: float
    gap: Gap
    gives: int
    chance: float
    pot_on: dt.date
    ready: dt.date
    tray_m2: float
    pots_m2: float
    pots_place: str
    hours: float
    work: tuple[tuple[dt.date, float], ...] = ()
    why: tuple[str, ...] = ()


@frozen
class Missing:
    """A gap that cannot be filled, or not wholly: how many plants are missing, and why."""

    gap: Gap
    plants: int
    why: str


@frozen
class PlanPlace:
    """Bench of one place [m2] week by week: what stands there by the book, and with the plan."""

    place: str
    size_m2: float
    booked_m2: tuple[float, ...]
    planned_m2: tuple[float, ...]


@frozen
class Plan:
    """What to start, soonest first, and what cannot be had.

    `filled` counts the wants that need no start. `relax` says what the smallest change would
    be that lets all of it be had. `hours` is the work of the plan, `hours_by_week` that of each
    week from `as_of`. `above_bound` is how much dearer the plan may be than the best, 0 where
    it is the best.
    """

    as_of: dt.date
    lines: tuple[PlanLine, ...]
    missing: tuple[Missing, ...]
    relax: tuple[str, ...]
    filled: int
    places: tuple[PlanPlace, ...]
    hours: float
    hours_by_week: tuple[float, ...]
    above_bound: float = 0.0
    assumed: tuple[str, ...] = ()
