"""The limits a plan keeps to: bench by place and week, mother plants, hands by week.

Each limit is a row: what one propagule of each possible start takes of it, and what there is.
Rows that belong together (the weeks of a place, of the hands) are one resource.
"""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from attrs import Factory, define, frozen

from propagate.planning.candidates import Mothers, Site, growth_year, material_used
from propagate.planning.case import Case
from propagate.planning.effort import POT_MINUTES, start_minutes
from propagate.planning.fresh import Source
from propagate.records.nursery import Nursery
from propagate.records.plans import Gap
from propagate.science.timing import Array

if TYPE_CHECKING:
    from scipy.sparse import csr_array

MINUTES = 60.0


@frozen(eq=False)
class Start:
    """One possible start: a gap by a source in a week, how many would fill it alone, its days."""

    gap: int
    source: Source
    site: Site
    mothers: Mothers
    gives: float | None
    week: int
    day: dt.date
    count: int
    pot_on: dt.date
    ready: dt.date
    leaves: dt.date
    by: dt.date

    @property
    def rooted(self) -> float:
        """The share that is potted on, on average."""
        return self.source.take


@frozen
class Limit:
    """One row in words: a place, the mothers of a plant or the hands; of which week, if any."""

    kind: str
    name: str
    week: int | None = None


@define
class Limits:
    """Rows as they are gathered."""

    rows: list[Limit] = Factory(list)
    most: list[float] = Factory(list)
    entries: list[tuple[int, int, float]] = Factory(list)
    _index: dict[tuple[str, str, int | None], int] = Factory(dict)

    def add(self, key: tuple[str, str, int | None], most: float, column: int, use: float) -> None:
        """What one propagule of a column takes of a limit: of a kind, a name and a week."""
        at = self._index.get(key)
        if at is None:
            at = self._index[key] = len(self.rows)
            self.rows.append(Limit(*key))
            self.most.append(most)
        self.entries.append((at, column, use))

    def matrix(self, columns: int) -> "csr_array":
        """All of it, (limits, columns)."""
        from scipy.sparse import csr_array

        rows, at, use = np.array(self.entries).reshape(-1, 3).T
        shape = (len(self.rows), columns)
        return csr_array((use, (rows.astype(int), at.astype(int))), shape=shape)

    @property
    def resource(self) -> Array:
        """The number of the resource that each row belongs to."""
        names = list(dict.fromkeys((row.kind, row.name) for row in self.rows))
        return np.array([names.index((row.kind, row.name)) for row in self.rows], dtype=np.int_)


@frozen(eq=False)
class Circumstances:
    """What there is: the nursery, its day and batches, and the bench taken already by week."""

    nursery: Nursery
    today: dt.date
    cases: Sequence[Case]
    booked_m2: Mapping[str, Sequence[float]]

    def week_of(self, day: dt.date) -> int:
        """The week of the plan that a day lies in."""
        return max(0, (day - self.today).days // 7)

    def room_m2(self, place: str, week: int, size_m2: float) -> float:
        """What is left of a place in a week; beyond the weeks known it is as in the last."""
        booked = self.booked_m2.get(place)
        taken = 0.0 if booked is None else booked[min(week, len(booked) - 1)]
        return max(0.0, size_m2 - taken)


def gather(starts: Sequence[Start], gaps: Sequence[Gap], around: Circumstances) -> Limits:
    """Every limit that any of the starts may run into."""
    limits = Limits()
    for column, start in enumerate(starts):
        for key, most, use in (*_bench(start, around), *_hands(start, around)):
            limits.add(key, most, column, use)
    _add_mothers(limits, starts, around)
    return limits


Use = tuple[tuple[str, str, int | None], float, float]
"""A limit by kind, name and week; how much of it there is; what one propagule takes."""


def _bench(start: Start, around: Circumstances) -> Iterable[Use]:
    """What one propagule takes of its places, week by week: its stand first, then its pot."""
    site, potted = start.site, around.week_of(start.pot_on)
    begins = around.week_of(start.day + start.source.treated)
    spans = [
        (site.tray, range(begins, potted), site.tray_m2),
        (site.pots, range(potted, around.week_of(start.leaves)), site.pot_m2 * start.rooted),
    ]
    for place, weeks, use in spans:
        if place is not None and place.size_m2 is not None and use:
            size, name = place.size_m2, place.name
            yield from ((("bench", name, w), around.room_m2(name, w, size), use) for w in weeks)


def _hands(start: Start, around: Circumstances) -> Iterable[Use]:
    """What one propagule takes of the hands [h] in the weeks of setting and of potting on."""
    hours = around.nursery.plan.hours_per_week
    if hours is None:
        return
    minutes = start_minutes(start.source.method.id, around.nursery)
    yield ("hands", "", start.week), hours, minutes / MINUTES
    if start.pot_on < start.leaves:
        week = around.week_of(start.pot_on)
        yield ("hands", "", week), hours, POT_MINUTES * start.rooted / MINUTES


def _add_mothers(limits: Limits, starts: Sequence[Start], around: Circumstances) -> None:
    """Mothers of a kind give so much a year; what was taken from them already is gone.

    Where mothers serve several wants (a variety serves its species), each set of mothers
    bounds all starts that can draw on nothing else.
    """
    sets = {start.mothers for start in starts if start.mothers.keys}
    used = {each: material_used(around.cases, each.keys, around.nursery) for each in sets}
    for column, start in enumerate(starts):
        if not (start.gives and start.mothers.keys):
            continue
        year = growth_year(start.day, around.nursery)
        for each in sets:
            if start.mothers.keys <= each.keys:
                name = f"{', '.join(sorted(each.keys))} in {year}"
                left = max(0.0, each.plants - used[each].get(year, 0.0))
                limits.add(("mothers", name, None), left, column, 1 / start.gives)
