"""What the program answers: windows of dates, counts with their spread, jobs that are due."""

import datetime as dt

from attrs import field, frozen

from propagate.names import PlantName

QUANTILES = (0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95)


@frozen
class PotOn:
    """When a batch is worth potting on: a window of days and the reason for it.

    `first` is the day from which single ones may be rooted, where the batch's days do not
    count by the calendar.
    """

    early: dt.date
    likely: dt.date
    late: dt.date
    why: str = ""
    first: dt.date | None = None


@frozen
class PlantCount:
    """How many plants, as a whole distribution boiled down.

    `low` and `high` bound the central interval whose probability is `chance`.
    """

    low: int
    likely: int
    high: int
    mean: float
    chance: float
    quantiles: dict[float, int] = field(factory=dict, eq=False)


@frozen
class BatchForecast:
    """One batch's answer: where its propagules stand, when to pot on, what will come.

    `plants` counts all that the batch has given or will give, alive; `free` what can go out,
    less what is promised. Where a day is asked for, both are by that day, and `expected` is
    the mean number then in each account, which together make the number started.
    """

    batch: str
    plant: PlantName
    method: str
    started: dt.date
    count: int
    accounts: dict[str, int]
    pot_on: PotOn
    plants: PlantCount
    free: PlantCount
    why: tuple[str, ...] = ()
    expected: dict[str, float] = field(factory=dict, eq=False)


@frozen
class PlantTotal:
    """All batches of one plant together, their shared uncertainty kept."""

    plant: PlantName
    plants: PlantCount
    free: PlantCount


@frozen
class Forecast:
    """The answer to `forecast`: every batch asked for, and the totals by plant."""

    as_of: dt.date
    by: dt.date | None
    batches: tuple[BatchForecast, ...]
    totals: tuple[PlantTotal, ...]


@frozen
class DueTask:
    """One job, the day it falls due, and the reason in words.

    `until` is the last day on which it is still in time; None means the day itself. `lot` tells
    apart jobs of one kind for one batch, such as two lots to plant out.
    """

    date: dt.date
    batch: str
    plant: PlantName
    action: str
    why: str
    place: str = ""
    until: dt.date | None = None
    lot: str = ""

    def is_late(self, today: dt.date) -> bool:
        """Whether the time for it has gone by."""
        return (self.until or self.date) < today
