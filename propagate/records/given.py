"""A forecast that was given, kept in the book so that it can be judged when the batch is done."""

import datetime as dt
from typing import Any

from attrs import Attribute, field, frozen

from propagate.errors import Refused

LEVELS = (0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95)
"""The shares at which kept quantiles were read. They never change: books hold such numbers."""


def _at_each_level(_: object, attribute: "Attribute[Any]", value: tuple[int, ...]) -> None:
    if len(value) != len(LEVELS) or sorted(value) != list(value):
        raise Refused(f"{attribute.name} are {value}; give {len(LEVELS)} counts, least first.")


@frozen
class ForecastGiven:
    """What the book answered for a batch when its start or a full check was written.

    `after` is the id of that entry; when it is taken back, the answer goes with it. The
    numbers are plants that the batch has given or will give, alive; `low` and `high` bound
    the interval of probability `chance`, `quantiles` are read at LEVELS. The three days are
    the pot-on window.
    """

    batch: str
    after: str
    low: int
    likely: int
    high: int
    chance: float
    quantiles: tuple[int, ...] = field(validator=_at_each_level)
    early: dt.date
    likely_day: dt.date
    late: dt.date
