"""Why a forecast says what it says: each source by itself, and what they come to together.

library, other batches and plants, this batch's checks -> a range each -> the answer's range
"""

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from attrs import evolve, frozen

from propagate.days import written
from propagate.planning.case import Case
from propagate.planning.clocks import StageClock
from propagate.planning.seasons import season_words
from propagate.records.answers import BatchForecast
from propagate.records.methods import Figure
from propagate.records.nursery import Nursery
from propagate.science.learning import GroupData, GroupPosterior, learn
from propagate.science.pooling import learn_method
from propagate.science.posterior import BatchPosterior
from propagate.science.prior import Prior
from propagate.science.sightings import BatchData
from propagate.spans import span, time_words
from propagate.units import DAYS_PER_WEEK
from propagate.worded import worded, worded_count

if TYPE_CHECKING:
    from propagate.planning.groups import Group

UNINFORMED_MEAN: Final = 0.5
UNINFORMED_PRECISION: Final = 2.0
"""Mean and precision (a + b) of the even Beta(1, 1): any share is as likely as any other.
A source read by itself starts from there (Bayes 1763, Philosophical Transactions 53, 370)."""

UNINFORMED_LOG_DAYS: Final = 1.0
"""A check's word on the time alone starts from a batch within a factor of 2.7 of the record's
time, two times in three: wide enough to say little (memory)."""

TELLING: Final = 0.1
"""A share of failers that differs less from what may be anyhow is not worth a sentence."""


OTHER_PLANTS: Final = "library + other plants"
"""Other plants say nothing by themselves of this one: they move the take that the library says."""


@frozen
class Range:
    """One row of the drawing: who says so, and the low, likely and high that they say."""

    who: str
    low: float
    likely: float
    high: float


@frozen
class Reasons:
    """All that a batch's answer rests on.

    `take` are shares of 1, `weeks` weeks from the start until `share` of those that take have
    done so; the last row of each is what the answer uses. 8 times in 10 the truth lies within
    a range. `words` tell the same, and what the drawing cannot show.
    """

    batch: str
    taken: str
    share: float
    take: tuple[Range, ...]
    weeks: tuple[Range, ...]
    words: tuple[str, ...]


def reasons_in_words(group: "Group", at: int) -> Iterable[str]:
    """The short reasons that go with every answer.

    Nothing is learned anew for them, so that they cost a book of thousands next to nothing.
    """
    case = group.cases[at]
    yield case.said
    take = case.record.taking.take
    if take is None:
        return
    yield worded(
        "The library says {share} take ({basis}).",
        share=percent(take.low, take.high),
        basis=worded(take.basis),
    )
    if group.told_here or group.told_elsewhere:
        low, likely, high = group.shared_take
        showed = _showed(group.told_here, group.told_elsewhere)
        yield worded(
            "With what {batches} showed here: {likely:.0f} %, {share}.",
            batches=showed,
            likely=likely * 100,
            share=percent(low, high),
        )
    low, likely, high = group.posterior.batch(at).take_interval()
    yield worded(
        "For this batch: {likely:.0f} %, {share}.", likely=likely * 100, share=percent(low, high)
    )


def _showed(here: int, elsewhere: int) -> str:
    """The batches that were looked at: of this plant, and of others by the same method."""
    others = worded("{batches} of other plants by this method", batches=_batches(elsewhere))
    if here and elsewhere:
        return worded("{here} and {elsewhere}", here=_batches(here), elsewhere=others)
    return others if elsewhere else _batches(here)


def _batches(count: int) -> str:
    return worded_count("{count} batch", "{count} batches", count)


def percent(low: float, high: float) -> str:
    """A range of shares: 60 to 90 %, or 75 % where both ends are one."""
    return worded("{share} %", share=span(f"{low * 100:.0f}", f"{high * 100:.0f}"))


def explain(group: "Group", answer: BatchForecast, nursery: Nursery) -> Reasons:
    """Take the answer for one batch of a group apart into what each source says of it."""
    sources = _Sources(group, group.position(answer.batch))
    take, weeks = tuple(_take_rows(sources)), tuple(_week_rows(sources))
    return Reasons(
        batch=answer.batch,
        taken=sources.case.method.taken,
        share=sources.case.record.taking.share,
        take=take,
        weeks=weeks,
        words=tuple(_words(sources, take, weeks, answer, nursery)),
    )


@frozen(eq=False)
class _Sources:
    """One batch of a group: its own sightings and those of the others that were looked at."""

    group: "Group"
    at: int

    @property
    def case(self) -> Case:
        """The batch with its method and record."""
        return self.group.cases[self.at]

    @property
    def own(self) -> BatchData:
        """What was seen of this batch."""
        return self.group.data.batches[self.at]

    @property
    def others(self) -> tuple[BatchData, ...]:
        """What was seen of the other batches of this plant, where anybody looked."""
        batches = enumerate(self.group.data.batches)
        return tuple(each for n, each in batches if n != self.at and each.tells)

    @property
    def kin(self) -> dict[str, GroupData]:
        """What was seen of other plants by this method, where anybody looked."""
        groups = self.group.of_method.items()
        return {
            species: data
            for species, data in groups
            if species != self.group.species and data.telling
        }

    @property
    def delay_days(self) -> int:
        """Days from the start until the treatments end."""
        return (self.group.clock_starts[self.at] - self.case.state.on).days

    @property
    def clock(self) -> StageClock:
        """What its taking stage runs by."""
        return self.group.clocks[self.at]

    @property
    def prior(self) -> Prior:
        """What the library's record says."""
        return self.group.data.prior

    @property
    def answer(self) -> BatchPosterior:
        """What all sources say together of this batch."""
        return self.group.posterior.batch(self.at)

    @property
    def checked(self) -> bool:
        """Whether this batch was looked at."""
        return self.own.tells

    def read(self, prior: Prior, *batches: BatchData) -> GroupPosterior:
        """What some batches say, starting from a belief of one's choice."""
        return learn(prior, batches, self.group.data.lingering)

    def read_kin(self) -> BatchPosterior:
        """What the library says of this batch once other plants have shown how it goes here."""
        unseen = evolve(self.group.data, batches=(BatchData(self.own.count),))
        return learn_method({**self.kin, self.group.species: unseen})[self.group.species].batch(0)


def _take_rows(sources: _Sources) -> Iterable[Range]:
    """The share that takes; no rows where the record knows of no losses."""
    stated = sources.case.record.taking.take
    if stated is None:
        return
    low, likely, high = sources.read(sources.prior, _unseen(sources)).batch(0).take_interval()
    if stated.low < stated.high:
        low, high = stated.low, stated.high  # read as the same 10 % and 90 % points
    yield Range("the library", low, likely, high)
    open_minded = evolve(
        sources.prior, take_mean=UNINFORMED_MEAN, take_precision_shared=UNINFORMED_PRECISION
    )
    if sources.others:
        others = sources.read(open_minded, *sources.others)
        yield Range(_others(sources), *others.shared_take_interval())
    if sources.kin:
        yield Range(OTHER_PLANTS, *sources.read_kin().take_interval())
    if sources.checked:
        own = sources.read(open_minded, sources.own).batch(0)
        yield Range("this batch's checks", *own.take_interval())
    yield Range("the answer uses", *sources.answer.take_interval())


def _week_rows(sources: _Sources) -> Iterable[Range]:
    """Weeks from the start until so many of the takers have rooted that potting on pays."""
    unseen = _unseen(sources)
    library = _weeks("the library", sources, sources.read(sources.prior, unseen).batch(0))
    yield library
    if sources.others:
        learned = sources.read(sources.prior, *sources.others, unseen)
        others = _weeks(_others(sources), sources, learned.batch(len(sources.others)))
        if evolve(others, who=library.who) != library:
            yield others
    if sources.checked:
        wide = evolve(sources.prior, log_days_between=UNINFORMED_LOG_DAYS)
        own = sources.read(wide, sources.own).batch(0)
        yield _weeks("this batch's checks", sources, own)
    yield _weeks("the answer uses", sources, sources.answer)


def _weeks(who: str, sources: _Sources, posterior: BatchPosterior) -> Range:
    """By the calendar, whatever the batch's clock runs by."""
    ripe = sources.clock.window(posterior.pot_on_days(sources.case.record.taking.share))
    days = ((date - sources.case.state.on).days for date in ripe)
    low, likely, high = (round(day / DAYS_PER_WEEK, 1) for day in days)
    return Range(who, low, likely, high)


def _unseen(sources: _Sources) -> BatchData:
    return BatchData(sources.own.count)


def _others(sources: _Sources) -> str:
    count = len(sources.others)
    return "your other batch" if count == 1 else f"your {count} other batches"


def _words(
    sources: _Sources,
    take: Sequence[Range],
    weeks: Sequence[Range],
    answer: BatchForecast,
    nursery: Nursery,
) -> Iterable[str]:
    yield sources.case.said
    yield from _take_words(sources, take)
    yield from _time_words(sources, weeks, answer, nursery)


def _take_words(sources: _Sources, rows: Sequence[Range]) -> Iterable[str]:
    stated, taken = sources.case.record.taking.take, sources.case.method.taken
    if stated is None:
        yield "The library knows of no losses in this method."
        return
    library, *middle, used = rows
    said = percent(stated.low, stated.high)
    wider = "" if stated.low < stated.high else f", read as {percent(library.low, library.high)}"
    yield f"The library says that {said} take{wider} ({stated.basis})."
    for row in middle:
        yield f"{_source_words(row.who)} {_share_words(row)}."
    if not sources.others:
        yield "No other batch of this plant by this method has been checked yet."
    if not sources.checked:
        yield "This batch has not been checked yet; a count would narrow the answer."
    yield from _failers_words(sources)
    yield f"So {_share_words(used)} of these {sources.own.count} should be {taken} in the end."


def _failers_words(sources: _Sources) -> Iterable[str]:
    """What becomes of failers, where trays have shown it; nothing while it is as good as open."""
    shares = sources.group.data.lingering
    lingering = sources.group.posterior.lingering(shares)
    if lingering is None or abs(lingering - sum(shares) / len(shares)) < TELLING:
        return
    if sources.others or sources.kin:
        some = f"{lingering * 10:.0f} in 10"
        yield f"As your trays have gone, some {some} of those that fail never look dead."


def _source_words(who: str) -> str:
    if who == OTHER_PLANTS:
        return "As your other plants by this method went, that would be"
    return f"{_capital(who)} alone {'say' if who.endswith('s') else 'says'}"


def _share_words(row: Range) -> str:
    return f"{row.likely * 100:.0f} % ({percent(row.low, row.high)})"


def _time_words(
    sources: _Sources, rows: Sequence[Range], answer: BatchForecast, nursery: Nursery
) -> Iterable[str]:
    stage = sources.case.record.taking
    single = stage.weeks
    after = f" after {sources.delay_days / DAYS_PER_WEEK:.0f} weeks of treatment"
    yield (
        f"The library says {_said_time(single)} for single ones"
        f"{_warmth_words(sources)}{after if sources.delay_days else ''} ({single.basis})."
    )
    if sources.clock.said:
        yield sources.clock.said
    used = rows[-1]
    ends, likely = span(f"{used.low:.0f}", f"{used.high:.0f}"), f"{used.likely:.0f}"
    yield (
        f"{stage.share * 100:.0f} % of those that take are {sources.case.method.taken} in week "
        f"{likely}{f' ({ends})' if ends != likely else ''}, near {_ripe(sources, used)}."
    )
    season = season_words(stage.gate, nursery)
    if season:
        yield f"It may be done {season}, so the likely day is {written(answer.pot_on.likely)}."


def _said_time(weeks: Figure) -> str:
    return time_words(weeks.low, weeks.high, scored=weeks.scored)


def _warmth_words(sources: _Sources) -> str:
    """In which warmth the library's weeks are meant, where days count by it."""
    meant = sources.case.record.taking.temp_c if sources.clock.said else None
    return f" at {span(*(f'{end:g}' for end in meant))} °C" if meant else ""


def _ripe(sources: _Sources, row: Range) -> str:
    return written(sources.case.state.on + dt.timedelta(days=round(row.likely * DAYS_PER_WEEK)))


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
