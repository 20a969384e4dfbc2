"""Days of a pot-on window, and dates moved into the season in which a step is allowed."""

import datetime as dt
from collections.abc import Sequence
from typing import Final

import numpy as np

from propagate.science.counts import cubic_parts
from propagate.science.timing import Array

MonthDay = tuple[int, int]

EARLY_LIKELY_LATE: Final = (0.1, 0.5, 0.9)

FINER: Final = 16  # fine steps to a step between nodes
NEGLIGIBLE: Final = 1e-20  # of the largest mass


def weighted_quantiles(nodes: Array, mass: Array, shares: Sequence[float]) -> Array:
    """Quantiles of a smooth law known by its mass at even nodes, both of shape (n,), n >= 4.

    The logarithm of the mass is nearly a parabola between nodes, so it is first filled in by
    cubics; then the mass of each fine node is spread evenly over its own step. One node alone
    (a number that is known) answers itself.
    """
    if len(nodes) == 1:
        return np.full(len(shares), float(nodes[0]))
    fine, fine_mass = _filled_in(nodes, mass)
    half = (fine[1] - fine[0]) / 2
    edges = np.concatenate([fine - half, [fine[-1] + half]])
    below = np.concatenate([[0.0], np.cumsum(fine_mass / fine_mass.sum())])
    return np.asarray(np.interp(shares, below, edges), dtype=np.float64)


def _filled_in(nodes: Array, mass: Array) -> tuple[Array, Array]:
    log_mass = np.log(np.maximum(mass / mass.max(), NEGLIGIBLE))
    position = np.arange((len(nodes) - 1) * FINER + 1) / FINER
    base = np.clip(position.astype(np.intp), 1, len(nodes) - 3)
    parts = zip((-1, 0, 1, 2), cubic_parts(position - base), strict=True)
    log_fine = sum(part * log_mass[base + offset] for offset, part in parts)
    step = nodes[1] - nodes[0]
    return nodes[0] + position * step, np.exp(log_fine)


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
