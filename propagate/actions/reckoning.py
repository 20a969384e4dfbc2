"""Sums for the bench that need the library or the forecast's counts."""

import datetime as dt
from collections import Counter
from typing import Final

from attrs import frozen

from propagate.actions.desk import Desk
from propagate.actions.meaning import batch_meant
from propagate.errors import Refused
from propagate.ledger import Look
from propagate.library import Library
from propagate.names import PlantName
from propagate.science import quantities
from propagate.science.backwards import MOST, smallest_start
from propagate.science.counts import binomial
from propagate.science.germination import Course, course

MOST_STARTED: Final = 2_000_000
"""More than that are not reckoned one by one."""


@frozen
class ToStart:
    """How many to start for a number of plants: on average, and with the asked chance."""

    on_average: int
    surely: int
    chance: float


@frozen
class Stratification:
    """When a seed's warm and cold spells must begin for a sowing day, and where that is from."""

    begins: dt.date
    spells: tuple[tuple[str, dt.date, dt.date], ...]
    said: str


def to_start(wanted: int, takes: float, stays: float, chance: float) -> ToStart:
    """Propagules to start when so many of 1 take and so many of those stay alive."""
    if not 0.5 <= chance < 1:
        raise Refused(
            f"A chance of {100 * chance:g} % cannot be asked for; give one from 50 to 99.9."
        )
    on_average = quantities.to_start(wanted, takes, stays)
    if on_average > MOST_STARTED:
        raise Refused(
            f"For {wanted:,} plants {on_average:,} would have to be started; ask for fewer."
        )
    most = max(MOST, 2 * on_average)
    surely = smallest_start(wanted, chance, lambda count: binomial(count, takes * stays), most)
    return ToStart(on_average, surely, chance)


def stratification(library: Library, name: PlantName, sowing: dt.date) -> Stratification:
    """Count back from the sowing day through the spells of a plant's seed record.

    Raises Refused when the library knows of no warm or cold spell for it.
    """
    match = library.record("seed", name)
    if not match.record.treatments:
        raise Refused(f"The library knows of no warm or cold spell for seed of {name}.")
    ends = sowing
    spells = []
    for stage in reversed(match.record.treatments):
        begins = ends - dt.timedelta(days=stage.middle_days)
        spells.append((stage.name, begins, ends))
        ends = begins
    return Stratification(ends, tuple(reversed(spells)), match.said)


def germination_of(desk: Desk, batch: str) -> Course:
    """A batch's checks as a germination test: what was newly counted up, by day from its start.

    Samples are left out, for nobody knows which of the others came up. Raises Refused where
    nothing was counted up.
    """
    state = desk.book.batch(batch_meant(desk, batch))
    counted: Counter[int] = Counter()
    for look in state.looks:
        counted[(look.on - state.on).days] += _newly_up(look)
    days = sorted(day for day, up in counted.items() if up)
    if not days:
        raise Refused(f"Nothing of {state.code} has been counted up yet.")
    return course(days, [counted[day] for day in days], state.count)


def _newly_up(look: Look) -> int:
    return look.taken if look.sample is not None else (look.rooted or 0) + look.taken
