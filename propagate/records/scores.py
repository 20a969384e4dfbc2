"""How good the book's forecasts have been: one score a forecast, and what they add up to."""

import datetime as dt
from typing import Literal

from attrs import frozen

from propagate.names import PlantName

Stage = Literal["at the start", "after a check"]
STAGES: tuple[Stage, ...] = ("at the start", "after a check")
"""The forecasts of a batch that are judged: that of its start, and the first after a full check.
Later ones of the same batch say ever less that is new, and would count the easy ones often."""


@frozen
class Score:
    """One forecast beside what came of the batch.

    `outcome` is the number of plants that it spoke of, as it came out; `crps` the distance of
    the whole forecast from it, in plants, 0 for the truth told with certainty. `by_library`
    and `by_last_time` are what two simple rules said on the same day. `ripe_from` and
    `ripe_until` are the days between which the batch became worth potting on, as far as the
    looks tell; `in_window` is None where they do not tell whether the window held.
    """

    batch: str
    plant: PlantName
    method: str
    stage: Stage
    given: dt.date
    low: int
    likely: int
    high: int
    chance: float
    outcome: int
    crps: float
    by_library: float
    by_last_time: float
    early: dt.date
    late: dt.date
    ripe_from: dt.date | None = None
    ripe_until: dt.date | None = None
    in_window: bool | None = None

    @property
    def hit(self) -> bool:
        """Whether what came fell within the interval that was given."""
        return self.low <= self.outcome <= self.high

    @property
    def inner_hit(self) -> bool:
        """Whether it fell between the ends of the interval, not on one of them."""
        return self.low < self.outcome < self.high


@frozen
class Tally:
    """All scores of one stage together, of one plant or (`plant` None) of all.

    `off_by` is the mean distance of the likely number from what came, in plants, `too_many`
    the same with its sign; `off_by_library` and `off_by_last_time` are those of the simple
    rules. In `hits` of `batches` the outcome lay in the interval, ends included, in
    `inner_hits` between its ends. Counts being whole, an honest interval of probability
    `chance` is hit at least so often with its ends and at most so often without them; so few
    batches leave open a long-run share from `hit_low` to `hit_high` (95 % confidence).
    """

    plant: PlantName | None
    stage: Stage
    batches: int
    off_by: float
    too_many: float
    crps: float
    off_by_library: float
    off_by_last_time: float
    hits: int
    inner_hits: int
    chance: float
    hit_low: float
    hit_high: float
    windows: int
    window_hits: int

    @property
    def fits(self) -> bool:
        """Whether the share of hits can be what was promised."""
        return self.hit_low <= self.chance <= self.hit_high


@frozen
class TrackRecord:
    """The answer to `forecast --record`.

    `tallies` are those of all plants first, then by plant. `open` batches have a kept forecast
    and still have propagules waiting; `set_aside` ones have ended, but in a way that tells
    nothing of their forecasts.
    """

    tallies: tuple[Tally, ...]
    scores: tuple[Score, ...]
    open: int
    set_aside: int
