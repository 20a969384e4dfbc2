"""The answer about bench space: what each place holds, week by week of the year to come."""

import datetime as dt

from attrs import frozen

from propagate.names import PlantName


@frozen
class PlannedStart:
    """A batch that is not in the book yet, to be reckoned with as if it were."""

    plant: PlantName
    method: str
    count: int
    on: dt.date
    container: str = ""
    place: str = ""


@frozen
class SpaceWeek:
    """What a place holds in the week from a day: expected, and what it holds at most 9 times in 10.

    `overfull` is the chance that it is more than the place has, None where that is not known.
    """

    date: dt.date
    expected_m2: float
    high_m2: float
    overfull: float | None = None


@frozen
class BatchSpace:
    """One batch's part in a place: expected bench now and in the place's fullest week [m2]."""

    batch: str
    plant: PlantName
    now_m2: float
    fullest_m2: float


@frozen
class PlaceSpace:
    """One place over the year to come; `size_m2` is None where the settings do not say."""

    place: str
    size_m2: float | None
    weeks: tuple[SpaceWeek, ...]
    batches: tuple[BatchSpace, ...]

    @property
    def fullest(self) -> SpaceWeek:
        """The week in which most is expected, the first of equals."""
        return max(self.weeks, key=lambda week: week.expected_m2)

    @property
    def overfull(self) -> SpaceWeek | None:
        """The first week in which it may be more than full, None when there is none."""
        size = self.size_m2
        return next((w for w in self.weeks if size is not None and w.high_m2 > size), None)


@frozen
class BenchSpace:
    """The answer to `bench`: every place that anything stands in or will."""

    as_of: dt.date
    places: tuple[PlaceSpace, ...]
