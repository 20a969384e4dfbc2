"""The seasons in which a stage may end, by the nursery's own frost and leaf-fall dates."""

import datetime as dt

from propagate.days import written_short
from propagate.records.methods import Gate
from propagate.records.nursery import MonthDay, Nursery
from propagate.science.seasons import into_season, last_on
from propagate.worded import worded, wording

SUMMER_DAYS = 120
"""A start so long before leaf fall has had its summer's growth by then (common practice)."""


def season_of(gate: Gate, nursery: Nursery) -> tuple[MonthDay, MonthDay] | None:
    """First and last day of the season of a gate, None where any day will do."""
    seasons: dict[Gate, tuple[MonthDay, MonthDay]] = {
        "dormant": (nursery.leaf_fall, nursery.bud_break),
        "after growth": (nursery.leaf_fall, nursery.bud_break),
        "growing": (nursery.bud_break, nursery.first_frost),
        "frost-free": (nursery.last_frost, nursery.first_frost),
    }
    return seasons.get(gate)


def season_words(gate: Gate, nursery: Nursery) -> str:
    """What a gate asks for, with its dates; empty where any day will do."""
    season = season_of(gate, nursery)
    if season is None:
        return ""
    opens, closes = (written_short(dt.date(2000, *day)) for day in season)
    said = {
        "dormant": wording("between leaf fall and bud break ({opens} to {closes})"),
        "after growth": wording("from leaf fall after a summer's growth ({opens} to {closes})"),
        "growing": wording("while plants grow ({opens} to {closes})"),
        "frost-free": wording("after the last frost ({opens} to {closes})"),
    }[gate]
    return worded(said, opens=opens, closes=closes)


def into_gate(
    date: dt.date, started: dt.date, gate: Gate, nursery: Nursery, today: dt.date
) -> dt.date:
    """`date`, or the next day on which a batch started on `started` may pass the gate.

    A season that closed before `today` is no help: then it is the opening of the next one.
    """
    season = season_of(gate, nursery)
    if season is None:
        return date
    if gate == "after growth":
        grown = into_season(started + dt.timedelta(days=SUMMER_DAYS), season[0], season[0])
        date = max(date, grown)
    date = into_season(date, *season)
    while (closed := into_season(date, season[1], season[1])) < today:
        date = into_season(closed + dt.timedelta(days=1), *season)
    return date


def latest_in_gate(date: dt.date, started: dt.date, gate: Gate, nursery: Nursery) -> dt.date | None:
    """The last day up to `date` on which a batch started on `started` may pass the gate.

    None where there is none since its start: the season has not opened yet.
    """
    season = season_of(gate, nursery)
    if season is None:
        return date
    latest = date if into_season(date, *season) == date else last_on(date, season[1])
    first = into_gate(started, started, gate, nursery, started)
    return latest if latest >= first else None


def closing(date: dt.date, gate: Gate, nursery: Nursery) -> dt.date | None:
    """The last day of the season that a day lies in, None where any day will do."""
    season = season_of(gate, nursery)
    return into_season(date, season[1], season[1]) if season else None


def local_months(months: tuple[int, ...], nursery: Nursery) -> tuple[int, ...]:
    """Months of the north as they fall in this nursery's hemisphere."""
    if nursery.hemisphere == "north":
        return months
    return tuple((month + 5) % 12 + 1 for month in months)
