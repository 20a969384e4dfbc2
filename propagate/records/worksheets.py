"""The sheets that people work from: what to do where, what goes into which bed, what to count."""

import datetime as dt

from attrs import frozen

from propagate.names import PlantName


@frozen
class Subject:
    """The batch that a line is about, with all that tells it apart on the bench."""

    code: str
    name: PlantName
    common: str = ""
    cautions: tuple[str, ...] = ()


@frozen
class Job:
    """One job of a week: the day it falls due, the last day for it, and why."""

    subject: Subject
    action: str
    why: str
    date: dt.date
    until: dt.date
    late: bool
    typed: str
    """What to type afterwards, with a gap for each number; empty where nothing is."""


@frozen
class PlaceJobs:
    """The jobs at one place; `place` is empty for batches that stand nowhere in particular."""

    place: str
    jobs: tuple[Job, ...]


@frozen
class JobCard:
    """What is to be done up to the day `until`, place by place; `next_on` is the first day after.

    It is None where nothing is due later.
    """

    nursery: str
    as_of: dt.date
    until: dt.date
    places: tuple[PlaceJobs, ...]
    next_on: dt.date | None = None


@frozen
class TrayCheck:
    """One batch on a check card, as the book has it before the look into the tray."""

    subject: Subject
    waiting: int
    rooted: int
    pots: int
    waiting_word: str
    rooted_word: str
    trays: str
    last_check: dt.date | None
    typed: tuple[str, ...]


@frozen
class CheckCard:
    """All batches that stand at one place, to be counted there."""

    place: str
    checks: tuple[TrayCheck, ...]


@frozen
class CheckCards:
    """The check cards of a nursery, one a place."""

    nursery: str
    as_of: dt.date
    cards: tuple[CheckCard, ...]


@frozen
class Planted:
    """Plants of one batch that went into a bed, by the last day on which some did."""

    subject: Subject
    count: int
    on: dt.date


@frozen
class ToPlant:
    """Plants of one batch that are fit for a bed from a day on.

    `promised` of them are spoken for; `early` says that the day is still to come.
    """

    subject: Subject
    place: str
    count: int
    promised: int
    from_day: dt.date
    early: bool
    typed: str


@frozen
class BedPlan:
    """One bed: how many it wants, what stands in it, and what can go there.

    `wanted` is None for a bed of which the settings say no number.
    """

    bed: str
    wanted: int | None
    planted: tuple[Planted, ...]
    to_plant: tuple[ToPlant, ...]
    note: str = ""

    @property
    def filled(self) -> int:
        """Plants of the book that went into it."""
        return sum(lot.count for lot in self.planted)

    @property
    def gap(self) -> int | None:
        """Plants still wanted, None where no number is given."""
        return None if self.wanted is None else max(0, self.wanted - self.filled)


@frozen
class PlantingList:
    """What stands in the beds and what can go there; `unplaced` is meant for none of them yet."""

    nursery: str
    as_of: dt.date
    until: dt.date
    beds: tuple[BedPlan, ...]
    unplaced: tuple[ToPlant, ...]


@frozen
class Mother:
    """One mother plant and what was raised from her."""

    key: str
    name: PlantName
    common: str
    since: dt.date
    place: str
    raised_from: str
    note: str
    batches: int
    taken: int
    raised: int
    waiting: int
    last_taken: dt.date | None


@frozen
class MotherRegister:
    """Every mother plant of the nursery; `unknown` counts batches whose mother is not known."""

    nursery: str
    as_of: dt.date
    mothers: tuple[Mother, ...]
    unknown: int


@frozen
class OnOffer:
    """One plant as a customer may have it: how many now, how many likely to come, and when.

    `coming_low` and `coming_high` bound what is to come; `for_sale` of those here now are
    marked for sale. `rights` says that the variety is marked as protected.
    """

    name: PlantName
    common: str
    now: int
    coming_low: int
    coming: int
    coming_high: int
    coming_from: dt.date | None
    for_sale: int
    container: str
    cautions: tuple[str, ...]
    protected: bool = False


@frozen
class CustomerSheet:
    """What a nursery has to give or sell, now and soon, for people outside it."""

    nursery: str
    as_of: dt.date
    until: dt.date
    chance: float
    plants: tuple[OnOffer, ...]


@frozen
class Departure:
    """Plants that left a batch on a day: `how` is "given" or "planted", `to` the person or bed."""

    on: dt.date
    count: int
    how: str
    to: str


@frozen
class Origin:
    """Where one batch is from and where its plants went: what must be traced both ways.

    `source` is what was noted of whence the mother or the batch came; `stood` the places with
    the day from which it stood there. `count` is `here`, what left, `lost` and `miscounted`.
    """

    subject: Subject
    method: str
    started: dt.date
    count: int
    mother: str
    raised_from: str
    source: str
    stood: tuple[tuple[dt.date, str], ...]
    departures: tuple[Departure, ...]
    here: int
    lost: int
    miscounted: int
    for_sale: int = 0
    protected: bool = False

    @property
    def gone(self) -> int:
        """Plants that left for a bed or for somebody."""
        return sum(each.count for each in self.departures)


@frozen
class OriginBook:
    """Every batch with its origin and its plants' whereabouts."""

    nursery: str
    as_of: dt.date
    origins: tuple[Origin, ...]
