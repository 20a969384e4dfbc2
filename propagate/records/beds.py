"""Beds and what is wanted in them: one slice of a want, what will be there, what is left."""

import datetime as dt

from attrs import frozen

from propagate.names import PlantName
from propagate.records.answers import PlantCount


@frozen
class Want:
    """So many plants of a kind in a bed by one day; one row of a succession is one of these.

    `planted` of them stand in the bed already. `row` counts the rows of a succession from 1,
    0 where there is only one.
    """

    bed: str
    plant: PlantName
    wanted: int
    by: dt.date
    chance: float
    priority: int
    planted: int = 0
    row: int = 0

    @property
    def open(self) -> int:
        """How many are still to come."""
        return max(0, self.wanted - self.planted)

    @property
    def name(self) -> str:
        """The bed, with the row of a succession."""
        return f"{self.bed}, row {self.row}" if self.row else self.bed


@frozen
class BedForecast:
    """What will stand in a bed by the day it is wanted, the planted ones included.

    `filled` is the chance that all are there; `surely` how many are with the asked chance.
    `batches` says what is meant for it, by code and likely number.
    """

    want: Want
    plants: PlantCount
    filled: float
    surely: int
    batches: tuple[tuple[str, int], ...] = ()

    @property
    def short(self) -> int:
        """How many are missing at the asked certainty."""
        return max(0, self.want.wanted - self.surely)


@frozen
class Spare:
    """Plants of a kind that no bed wants, free to give or sell once all beds have theirs."""

    plant: PlantName
    plants: PlantCount


@frozen
class UnnamedBed:
    """A bed that wants plants, of which nobody has said what; `planted` stand there."""

    bed: str
    wanted: int
    planted: int
    note: str


@frozen
class BedsAnswer:
    """The answer to `beds`: every want in the order of its rank, what is spare, what is unsaid.

    `doubts` names the batches of which something is suspected, each with what; their plants
    are counted all the same.
    """

    as_of: dt.date
    beds: tuple[BedForecast, ...]
    spare: tuple[Spare, ...]
    unnamed: tuple[UnnamedBed, ...]
    doubts: tuple[tuple[str, str], ...] = ()
