"""What might be started for a gap: the methods that suit the plant, and the weeks of each.

Methods with a record of the plant's own are taken first, else those of its relatives. Seed of
a named variety does not come true, so it is left out where another method serves.
"""

import datetime as dt
from collections.abc import Iterable, Sequence

from attrs import frozen

from propagate.ledger import Book
from propagate.library import Library
from propagate.names import PlantName
from propagate.nearness import folded
from propagate.planning.case import Case
from propagate.planning.courses import Containers
from propagate.planning.effort import per_mother
from propagate.planning.fresh import Source
from propagate.planning.seasons import local_months
from propagate.planning.space import container_called, footprint_m2
from propagate.planning.wants import serves
from propagate.records.methods import Method, MethodRecord
from propagate.records.nursery import Nursery, Place

ONE_WEEK = dt.timedelta(weeks=1)


@frozen
class Choice:
    """A method that suits a plant, its record, and how near that is: species, genus, method."""

    method: Method
    record: MethodRecord
    level: str
    said: str


def choices(library: Library, plant: PlantName, used: Iterable[str] = ()) -> list[Choice]:
    """The methods by which a plant may be raised; those `used` before always among them."""
    matched = []
    for method_id in library.ids:
        match = library.record(method_id, plant)
        matched.append(Choice(library.method(method_id), match.record, match.level, match.said))
    found = [one for one in matched if one.level == "species"]
    found = found or [one for one in matched if one.level == "genus"]
    found += [one for one in matched if one.method.id in set(used) and one not in found]
    if plant.is_cultivar and any(one.method.id != "seed" for one in found):
        found = [one for one in found if one.method.id != "seed"]
    return found


def start_days(
    record: MethodRecord, nursery: Nursery, today: dt.date, by: dt.date
) -> list[tuple[int, dt.date]]:
    """The days, a week apart from today, on which the method's material may be taken in time."""
    months = local_months(record.season.months, nursery)
    weeks = range(max(0, (by - today).days // 7 + 1))
    days = [(week, today + ONE_WEEK * week) for week in weeks]
    return [(week, day) for week, day in days if day.month in months]


@frozen(eq=False)
class Site:
    """Where a fresh batch of a source would stand, and the bench of one propagule [m2].

    `tray` and `pots` are places of the settings, None where the bench is of no concern.
    """

    tray: Place | None
    pots: Place | None
    place: str
    container: str
    tray_m2: float
    pot_m2: float


def site_of(source: Source, cases: Sequence[Case], nursery: Nursery) -> Site:
    """The place the settings give the method, else the one that it last had in the book."""
    method_id = source.method.id
    before = [case for case in cases if case.method.id == method_id]
    own = [case for case in before if case.state.name.species_name == source.species]
    last = next((c.state.place for c in reversed([*before, *own]) if c.state.place), "")
    name = nursery.plan.places.get(method_id, last)
    known = {folded(place.name): place for place in nursery.places.values()}
    tray = known.get(folded(name))
    pots = known.get(folded(tray.pots_to)) if tray and tray.pots_to else tray
    container = Containers(before).of((own or before)[-1]) if before else ""
    pot = container_called(nursery, container)
    stand = source.record.stand
    return Site(
        tray=tray if stand else None,
        pots=pots,
        place=tray.name if tray else name,
        container=container,
        tray_m2=stand.m2 if stand and not (tray and tray.cold) else 0.0,
        pot_m2=footprint_m2(pot) / pot.cells,
    )


@frozen
class Mothers:
    """The mother plants of a kind: their short names, how many plants stand under them."""

    keys: frozenset[str]
    plants: float

    @property
    def first(self) -> str:
        """One of them, to take from."""
        return min(self.keys, default="")


def mothers_of(book: Book, nursery: Nursery, plant: PlantName) -> Mothers:
    """The mother plants in the book that serve a want."""
    keys = [key for key, state in book.stock_plants.items() if serves(state.name, plant)]
    return Mothers(frozenset(keys), sum(nursery.plan.mothers.get(key, 1.0) for key in keys))


def growth_year(day: dt.date, nursery: Nursery) -> int:
    """The year of growth whose shoots are cut on a day; it begins when buds break."""
    return day.year if (day.month, day.day) >= nursery.bud_break else day.year - 1


def material_used(
    cases: Sequence[Case], mothers: frozenset[str], nursery: Nursery
) -> dict[int, float]:
    """How many mothers' worth of material was taken from some mothers in each year of growth."""
    used: dict[int, float] = {}
    for case in cases:
        gives = per_mother(case.record, case.method.id, nursery)
        if case.state.started.stock_plant in mothers and gives:
            year = growth_year(case.state.on, nursery)
            used[year] = used.get(year, 0.0) + case.state.count / gives
    return used
