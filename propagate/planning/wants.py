"""What is wanted where, by when: the book's wants and the settings' beds as one list.

What is said in the book goes before what the settings say of the same bed and plant.
"""

import datetime as dt
from collections.abc import Callable, Iterable

from propagate.errors import PropagateError, Refused
from propagate.ledger import Book, Kind
from propagate.names import PlantName
from propagate.nearness import folded
from propagate.records.beds import UnnamedBed, Want
from propagate.records.events import FULL_CHANCE, USUAL_PRIORITY, Wanted
from propagate.records.nursery import Bed, MonthDay, Nursery
from propagate.science.seasons import into_season
from propagate.worded import worded

Resolve = Callable[[str], PlantName]


def wants_of(book: Book, nursery: Nursery, resolve: Resolve, today: dt.date) -> list[Want]:
    """Every want, a row of a succession each, in the order in which they are served."""
    said = [(state.said, state.said.since) for state in book.wants.values()]
    spoken = {(folded(want.bed), str(want.plant)) for want, _ in said}
    for bed in nursery.beds.values():
        standing = _standing(bed, nursery, resolve, today)
        if standing and (folded(bed.name), str(standing.plant)) not in spoken:
            said.append((standing, standing.since))
    rows = [row for want, since in said for row in _rows(want, _planted(book, want, since))]
    return sorted(rows, key=lambda row: (row.priority, row.by, row.bed, str(row.plant)))


def unnamed_beds(book: Book, nursery: Nursery) -> list[UnnamedBed]:
    """Beds of the settings that want plants, of which neither they nor the book say what."""
    spoken = {bed for bed, _ in book.wants}
    return [
        UnnamedBed(bed.name, bed.takes, planted_in(book, bed.name), bed.note)
        for bed in nursery.beds.values()
        if bed.takes and not bed.plant and folded(bed.name) not in spoken
    ]


def usual_day(nursery: Nursery, today: dt.date, by: MonthDay | None = None) -> dt.date:
    """The next such day of a year; without one, the day when the risk of frost is past."""
    day = by or nursery.last_frost
    return into_season(today, day, day)


def serves(plant: PlantName, wanted: PlantName) -> bool:
    """Whether a plant will do where one is wanted: of a species without a variety all will."""
    if plant == wanted:
        return True
    return not wanted.is_cultivar and plant.species_name == wanted.species_name


def planted_in(
    book: Book, bed: str, plant: PlantName | None = None, since: dt.date = dt.date.min
) -> int:
    """How many plants (of a kind) stand in a bed by the book, put there on a day or later."""
    return sum(
        move.count
        for state in book.batches.values()
        if plant is None or serves(state.name, plant)
        for move in state.moves
        if move.on >= since
        and move.target.kind is Kind.PLANTED
        and folded(move.target.detail) == folded(bed)
    )


def _planted(book: Book, want: Wanted, since: dt.date) -> int:
    return planted_in(book, want.bed, want.plant, since)


def _standing(bed: Bed, nursery: Nursery, resolve: Resolve, today: dt.date) -> Wanted | None:
    if not (bed.plant and bed.takes):
        return None
    by = usual_day(nursery, today, bed.by)
    try:
        plant = resolve(bed.plant)
    except PropagateError as error:
        where = f"nursery.toml, beds, {bed.name}, plant"
        raise Refused(worded("{where}: {what}", where=where, what=error.said)) from None
    return Wanted(bed.name, plant, bed.takes, by, FULL_CHANCE, USUAL_PRIORITY)


def _rows(want: Wanted, planted: int) -> Iterable[Want]:
    """The rows of a succession, the plants that stand there counted to the first ones."""
    for row in range(want.times):
        filled = min(want.count, planted)
        planted -= filled
        yield Want(
            bed=want.bed,
            plant=want.plant,
            wanted=want.count,
            by=want.by + dt.timedelta(weeks=row * want.every_weeks),
            chance=want.chance,
            priority=want.priority,
            planted=filled,
            row=row + 1 if want.times > 1 else 0,
        )
