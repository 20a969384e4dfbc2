"""A fan: what is known of some batches of one plant so far, and what will come week by week."""

import datetime as dt

from attrs import field, frozen

from propagate.names import PlantName
from propagate.records.answers import PlantCount, PotOn


@frozen
class FanWeek:
    """Plants by one day: the quantiles of their number, and its mean."""

    date: dt.date
    quantiles: dict[float, int] = field(hash=False)
    mean: float


@frozen
class FanDot:
    """One check: how many stood rooted, how many were found dead.

    `rooted` counts all found so far and still alive, or those among a `sample` of so many
    lifted; None where nobody counted. `plants` is the height at which the check is drawn: the
    rooted, for a sample those that the tray would hold at its rate.
    """

    date: dt.date
    rooted: int | None
    dead: int
    sample: int | None
    plants: float


@frozen
class FanStep:
    """What the book knows from this day on: started, found rooted and alive, of them potted on.

    Plants that were planted out or given away have been potted on.
    """

    date: dt.date
    started: int
    raised: int
    potted: int


@frozen
class FanSeason:
    """First and last day of a season in which the batches may be lifted."""

    opens: dt.date
    closes: dt.date


@frozen
class FanWindow:
    """The pot-on window of one batch that still has something in its tray, and what to do then."""

    batch: str
    words: str
    pot_on: PotOn


@frozen
class Fan:
    """The picture of a forecast: one batch, or all batches of a plant together.

    `steps` tell the past, up to the day of the first of `weeks`; `weeks` what will come after
    the latest look. `plants` is the forecast's own answer, by the day `by` or, when that is
    None, in the end. `batch` is empty for several; `taken` is the word for rooted or up;
    `wanted` plants are asked for, if any.
    """

    batch: str
    plant: PlantName
    title: str
    as_of: dt.date
    by: dt.date | None
    first: dt.date
    last: dt.date
    count: int
    taken: str
    steps: tuple[FanStep, ...]
    weeks: tuple[FanWeek, ...]
    dots: tuple[FanDot, ...]
    plants: PlantCount
    windows: tuple[FanWindow, ...] = ()
    seasons: tuple[FanSeason, ...] = ()
    season_words: str = ""
    wanted: int | None = None

    def known_on(self, date: dt.date) -> FanStep:
        """What the book knew on a day; before the first step, what it knew then."""
        past = [step for step in self.steps if step.date <= date]
        return past[-1] if past else self.steps[0]
