"""The answer about years ahead: plants that become mothers, and what they give."""

import datetime as dt

from attrs import frozen

from propagate.names import PlantName
from propagate.records.answers import PlantCount


@frozen
class YearAhead:
    """One year on: `mothers` in service and `kept` of this year's plants are expected numbers.

    `made` are the plants that the year gave, `out` all that went to beds and people so far.
    """

    by: dt.date
    mothers: float
    kept: float
    made: PlantCount
    out: PlantCount


@frozen
class StockGoal:
    """The soonest that a number of plants is out, and how many to keep as mothers for it.

    `years` is None where it is not reached with the wanted `chance` in as many as were tried.
    """

    wanted: int
    sure: float
    years: int | None
    keeps: tuple[float, ...]
    chance: float


@frozen
class YearsAhead:
    """A plant by one method, from so many mothers: year by year, and its long-run growth.

    `keeps` is the share of each year's plants that is kept as mothers; `growth` the factor by
    which the stock grows a year in the long run when all are kept. `said` are the figures it
    rests on, in words.
    """

    as_of: dt.date
    plant: PlantName
    method: str
    mothers: int
    keeps: tuple[float, ...]
    years: tuple[YearAhead, ...]
    growth: float
    said: tuple[str, ...]
    goal: StockGoal | None = None
