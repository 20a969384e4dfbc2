"""Frost dates of the nursery from the minima on record, as days of the year with their chance."""

import numpy as np
from attrs import frozen

from propagate.records.nursery import Hemisphere, MonthDay
from propagate.science.frost import FEWEST_WINTERS, FrostLaw, frost_days, frost_law, month_day
from propagate.weather.courses import YEARS_LOOKED_BACK
from propagate.weather.series import DailyTemps

CHANCES = (0.1, 0.5, 0.9)


@frozen
class FrostDates:
    """When the last frost of a winter and the first of the next fall, by chance.

    `last` gives for each chance the day after which a frost still comes with that chance,
    `first` the day before which one has come; None where frost is rarer than that.
    `any_frost` is the chance that a winter has one at all.
    """

    last: dict[float, MonthDay | None]
    first: dict[float, MonthDay | None]
    any_frost: float
    winters: int
    source: str


def frost_dates(record: DailyTemps, hemisphere: Hemisphere) -> FrostDates | None:
    """Frost dates at 10, 50 and 90 %; None with fewer than five whole winters on record.

    A frost is a day whose minimum is 0 °C or less; the latest thirty winters count. How the
    chances are reckoned is told in `science.frost`.
    """
    southern = hemisphere == "south"
    laws = _laws(record, southern)
    if laws is None:
        return None
    last, first, winters = laws
    return FrostDates(
        last={chance: _day(last.day_exceeded(chance), southern) for chance in CHANCES},
        first={chance: _day(first.day_undercut(chance), southern) for chance in CHANCES},
        any_frost=last.chance_of_any,
        winters=winters,
        source=record.source,
    )


def safe_days(
    record: DailyTemps, hemisphere: Hemisphere, risk: float
) -> tuple[MonthDay, MonthDay] | None:
    """The days between which frost comes with no more than `risk`, last and first frost.

    None with fewer than five whole winters on record, and where frost is rarer than that.
    """
    southern = hemisphere == "south"
    laws = _laws(record, southern)
    if laws is None:
        return None
    last, first, _ = laws
    days = last.day_exceeded(risk), first.day_undercut(risk)
    spring, autumn = (_day(day, southern) for day in days)
    return (spring, autumn) if spring and autumn else None


def _laws(record: DailyTemps, southern: bool) -> tuple[FrostLaw, FrostLaw, int] | None:
    """Laws of the last and the first frost, and how many winters they rest on."""
    dates = np.datetime64(record.first) + np.arange(len(record))
    winters = frost_days(dates, record.low_c, southern=southern)
    if len(winters.last) < FEWEST_WINTERS:
        return None
    last, first = (each[-YEARS_LOOKED_BACK:] for each in (winters.last, winters.first))
    return frost_law(last), frost_law(first), len(last)


def _day(day: float | None, southern: bool) -> MonthDay | None:
    return None if day is None else month_day(day, southern=southern)
