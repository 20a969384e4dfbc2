"""When plants can go out: rooted, potted on in season, established, and past the frosts.

a day asked for -> the last day out -> for each time in the pot, the last day to pot on
-> the last day to root -> how many do, given what the batch has shown
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final, TypeAlias

import numpy as np
from attrs import frozen

from propagate.ledger import BatchState, Kind, standing_since
from propagate.planning.clocks import StageClock
from propagate.planning.seasons import latest_in_gate
from propagate.records.methods import Figure, MethodRecord
from propagate.records.nursery import Nursery
from propagate.science import counts
from propagate.science.posterior import BatchPosterior
from propagate.science.timing import Array, from_range, ppf
from propagate.units import DAYS_PER_WEEK

HARDEN_DAYS: Final = 14
"""Hardening off takes about two weeks (common practice)."""

PLANT_POINTS: Final = 12
"""A plant's time in the pot stands for itself by so many equally likely ones."""

BATCH_POINTS: Final = 5
"""So does the shift that the plants of one potting have in common."""

Pmf: TypeAlias = Array

Rootings: TypeAlias = tuple[dt.date | None, ...]
"""The last days on which a plant may root, equally likely; None where it is too late already."""

Grown: TypeAlias = tuple[tuple[int, float], ...]
"""Plants that have rooted and are here, with the chance of each to be established in time."""


@frozen
class Way:
    """What a batch's plants must pass once they root, in a nursery, as of a day."""

    record: MethodRecord
    started: dt.date
    nursery: Nursery
    today: dt.date

    def last_out(self, by: dt.date) -> dt.date | None:
        """The last day up to `by` on which an established plant may go out."""
        stage = self.record.establishing
        return latest_in_gate(by, self.started, stage.gate if stage else "any", self.nursery)

    def times_in_pot(self) -> Array:
        """Days from potting to established, (shifts of a potting, plants), equally likely."""
        stage = self.record.establishing
        return times_in_pot(stage.weeks) if stage else np.zeros((1, 1))

    def last_rootings(self, out: dt.date, times: Sequence[float]) -> Rootings:
        """For each time in the pot the last day to root and still be out on a day."""
        return tuple(self._last_rooting(out, days) for days in times)

    def _last_rooting(self, out: dt.date, days: float) -> dt.date | None:
        potted = latest_in_gate(
            out - dt.timedelta(days=round(days)),
            self.started,
            self.record.taking.gate,
            self.nursery,
        )
        return potted if potted and potted >= self.today else None


@lru_cache(maxsize=64)
def times_in_pot(weeks: Figure) -> Array:
    """The law of a stage's time as equally likely days, (BATCH_POINTS, PLANT_POINTS).

    As in rooting, half of the variance of ln(days) is common to what was potted together.
    """
    law = from_range(weeks.soonest * DAYS_PER_WEEK, weeks.latest * DAYS_PER_WEEK)
    shifts = law.log_days_between * _deviates(BATCH_POINTS)
    shares = (np.arange(PLANT_POINTS) + 0.5) / PLANT_POINTS
    return ppf(shares, law.log_days_mean + shifts[:, None], law.log_days_scale)


def _deviates(points: int) -> Array:
    """Equally likely points of the standard Normal law, with its variance."""
    from statistics import NormalDist  # only where a day is asked for

    middles = np.array([NormalDist().inv_cdf((at + 0.5) / points) for at in range(points)])
    return np.asarray(middles / middles.std(), dtype=np.float64)


def ready_by(
    posterior: BatchPosterior, clock: StageClock, way: Way, by: dt.date, state: BatchState | None
) -> Pmf:
    """How many of a batch are established and may go out by a day, (shared nodes, n + 1).

    Counted are those still in the tray and, of what `state` says, those rooted, potted or
    hardening, as if each came through; not those found ready. n is all of these. None for a
    batch that is yet to be started.
    """
    out, size = way.last_out(by), posterior.waiting + (_growing(state) if state else 0) + 1
    nodes = len(posterior.shared_weight)
    if out is None:
        return np.tile(counts.shifted(np.ones(1), 0, size), (nodes, 1))
    rows: dict[tuple[Rootings, Grown], int] = {}  # seasons make many of them alike
    for times in way.times_in_pot().tolist():
        rootings = way.last_rootings(out, times)
        row = rootings, tuple(_grown(state, out, times, rootings)) if state else ()
        rows[row] = rows.get(row, 0) + 1
    parts = [times * _of_row(posterior, clock, *row) for row, times in rows.items()]
    return np.asarray(sum(parts[1:], parts[0]) / sum(rows.values()), dtype=np.float64)


def _of_row(posterior: BatchPosterior, clock: StageClock, rootings: Rootings, grown: Grown) -> Pmf:
    """The same where the plants' last days to root are these, equally likely."""
    here = [counts.binomial(count, share) for count, share in grown]
    return counts.total([_from_tray(posterior, clock, rootings), *here])


def _from_tray(posterior: BatchPosterior, clock: StageClock, rootings: Rootings) -> Pmf:
    """How many of those in the tray root in time; the clock's futures are equally likely."""
    days = dict.fromkeys(
        tuple(future.day(date) if date else 0.0 for date in rootings) for future in clock.futures
    )
    made = [posterior.more_by_own_days(np.array(each)) for each in days]
    return np.asarray(sum(made[1:], made[0]) / len(made), dtype=np.float64)


def _grown(
    state: BatchState, out: dt.date, times: Sequence[float], rootings: Rootings
) -> Iterable[tuple[int, float]]:
    """The pairs of `Grown`, for plants whose times in the pot are these."""
    if rooted := state.total(Kind.ROOTED):
        yield rooted, sum(date is not None for date in rootings) / len(rootings)
    for on, count in standing_since(state.moves, Kind.POTTED):
        yield count, sum(on + dt.timedelta(days=round(t)) <= out for t in times) / len(times)
    for on, count in standing_since(state.moves, Kind.HARDENING):
        yield count, float(on + dt.timedelta(days=HARDEN_DAYS) <= out)


def _growing(state: BatchState) -> int:
    return state.total(Kind.ROOTED, Kind.POTTED, Kind.HARDENING)
