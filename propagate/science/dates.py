"""Days of a pot-on window, and dates moved into the season in which a step is allowed."""

import datetime as dt
from collections.abc import Sequence

import numpy as np

from propagate.science.timing import Array

MonthDay = tuple[int, int]

EARLY_LIKELY_LATE = (0.1, 0.5, 0.9)


def weighted_quantiles(nodes: Array, mass: Array, shares: Sequence[float]) -> Array:
    """Quantiles of a law known by its mass at evenly spaced nodes, all of shape (n,).

    The mass of a node is spread over half a step to either side, so the answer runs on
    smoothly between nodes. One node alone answers itself.
    """
    if len(nodes) == 1:
        return np.full(len(shares), float(nodes[0]))
    half = (nodes[1] - nodes[0]) / 2
    edges = np.concatenate([nodes - half, [nodes[-1] + half]])
    below = np.concatenate([[0.0], np.cumsum(mass / mass.sum())])
    return np.asarray(np.interp(shares, below, edges), dtype=np.float64)


def into_season(date: dt.date, opens: MonthDay, closes: MonthDay) -> dt.date:
    """`date` itself when in the season, else the next day on which the season opens.

    The season runs from `opens` to `closes`, (month, day), both included; it may wrap the
    year's end. In a year without 29 February that day means 1 March.
    """
    here = (date.month, date.day)
    inside = opens <= here <= closes if opens <= closes else here >= opens or here <= closes
    if inside:
        return date
    this_year = _on(date.year, opens)
    return this_year if this_year > date else _on(date.year + 1, opens)


def _on(year: int, month_day: MonthDay) -> dt.date:
    leapless = month_day == (2, 29) and not (year % 4 == 0 and (year % 100 or year % 400 == 0))
    month, day = (3, 1) if leapless else month_day
    return dt.date(year, month, day)
