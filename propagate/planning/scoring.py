"""How good the book has been: the forecasts it kept, beside what came of their batches.

A batch has ended when nothing in it waits any more. What a forecast spoke of are the plants
known to have rooted when it was given and those that rooted afterwards; plants lost after
they had rooted are counted all the same, for no forecast foretells mice in the potting shed.
Propagules lost while they waited count as failed, whatever became of them.
"""

import datetime as dt
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from math import fsum

from attrs import field, frozen

from propagate.ledger import BatchState, Book, Kind, Move, moved, net_into
from propagate.names import PlantName
from propagate.planning.case import RAISED, Case
from propagate.planning.seasons import into_gate
from propagate.records.events import Checked, Parted, Started
from propagate.records.given import LEVELS, ForecastGiven
from propagate.records.nursery import Nursery
from propagate.records.scores import STAGES, Score, Stage, Tally, TrackRecord
from propagate.science.scores import crps_of_quantiles, share_interval

ROOTED = (Kind.ROOTED, *RAISED)
"""Accounts of plants known to have rooted, that are alive or left the nursery alive."""

UNSEEN = (Kind.PLANTED, Kind.GIVEN)
"""Accounts into which waiting propagules go without anybody having seen whether they root."""

Takes = dict[tuple[str, str], list[tuple[int, float]]]
"""By species and method, batch by batch: the last entry that ended it, the share that took."""


@frozen
class History:
    """A batch, and the place of each of its entries in the order of writing.

    That order, not the day, says what was known when a forecast was given: `seq` is the place
    of the last entry that was.
    """

    case: Case
    written: dict[str, int] = field(repr=False)

    @property
    def state(self) -> BatchState:
        """The batch as it stands."""
        return self.case.state

    @property
    def kind(self) -> tuple[str, str]:
        """Species and method: what makes batches alike."""
        return self.state.name.species_name, self.state.started.method

    @property
    def ended(self) -> bool:
        """Whether nothing waits any more."""
        return self.state.total(Kind.WAITING) == 0

    @property
    def end_seq(self) -> int:
        """The last entry that took something out of the waiting account, or put it there."""
        return max(self.written[move.entry] for move in self.state.explain(Kind.WAITING))

    def stood(self, kinds: Sequence[Kind], seq: int) -> int:
        """Plants in these accounts by what had been written then."""
        known = (move for move in self.state.moves if self.written[move.entry] <= seq)
        return net_into(known, kinds)

    def outcome(self, seq: int) -> int:
        """The plants that a forecast given then spoke of, as they came out."""
        return self.state.raised + self._went(seq, ROOTED, (Kind.LOST,))

    def left_unseen(self, seq: int) -> int:
        """Propagules that have left since then for a bed or a friend before they had rooted."""
        return self._went(seq, (Kind.WAITING,), UNSEEN)

    def recounted(self, seq: int) -> bool:
        """Whether the number that waited then was found wrong since."""
        more = any(move.target.kind is Kind.WAITING for move in self._since(seq))
        return more or self._went(seq, (Kind.WAITING,), (Kind.MISCOUNTED,)) > 0

    def _since(self, seq: int) -> Iterator[Move]:
        return (move for move in self.state.moves if self.written[move.entry] > seq)

    def _went(self, seq: int, sources: Sequence[Kind], targets: Sequence[Kind]) -> int:
        return moved(self._since(seq), sources, targets)


@frozen
class Kept:
    """A forecast in the book: the place of its entry in the order of writing, and its day."""

    seq: int
    on: dt.date
    given: ForecastGiven


def track_record(
    cases: Sequence[Case], book: Book, nursery: Nursery, wanted: Iterable[str] | None = None
) -> TrackRecord:
    """Judge the kept forecasts of the batches of the codes `wanted`, or of all.

    Those that were given when nothing waited any more foretold nothing and are left out.
    """
    written = {entry.id: entry.seq for entry in book.entries}
    histories = {case.state.code: History(case, written) for case in cases}
    chosen = set(histories if wanted is None else wanted)
    takes = _takes(histories.values())
    scores: list[Score] = []
    still_open = set_aside = 0
    for code, kept in kept_forecasts(book).items():
        if code not in chosen:
            continue
        history = histories[code]
        foretold = [(s, k) for s, k in kept.items() if history.stood([Kind.WAITING], k.seq)]
        told = [
            (stage, forecast)
            for stage, forecast in foretold
            if not history.left_unseen(forecast.seq) and not history.recounted(forecast.seq)
        ]
        if not history.ended:
            still_open += 1
        elif foretold and not told:
            set_aside += 1
        else:
            scores += [_score(history, stage, forecast, takes, nursery) for stage, forecast in told]
    return TrackRecord(tuple(_tallies(scores)), tuple(scores), still_open, set_aside)


def kept_forecasts(book: Book) -> dict[str, dict[Stage, Kept]]:
    """By batch code, the first kept forecast of each stage, in the order of writing.

    A forecast whose entry was taken back is gone with it; that of a batch's start gives way to
    the one for what was left when some of it became a batch of their own.
    """
    causes = {entry.id: entry.event for entry in book.effective()}
    kept: dict[str, dict[Stage, Kept]] = {}
    for entry in book.effective():
        event = entry.event
        if isinstance(event, ForecastGiven) and event.batch in book.batches:
            cause, stages = causes.get(event.after), kept.setdefault(event.batch, {})
            stage = _stage_after(cause)
            if stage is not None and (stage not in stages or isinstance(cause, Parted)):
                stages[stage] = Kept(entry.seq, entry.on, event)
    return kept


def _stage_after(cause: object) -> Stage | None:
    if isinstance(cause, Started | Parted):
        return "at the start"
    return "after a check" if isinstance(cause, Checked) else None


def _score(history: History, stage: Stage, kept: Kept, takes: Takes, nursery: Nursery) -> Score:
    """One forecast beside what came of it."""
    given, state = kept.given, history.state
    outcome = history.outcome(kept.seq)
    rooted = history.stood(ROOTED, kept.seq)
    waiting = history.stood([Kind.WAITING], kept.seq)
    ripe = ripened(history.case)
    return Score(
        batch=state.code,
        plant=state.name,
        method=state.started.method,
        stage=stage,
        given=kept.on,
        low=given.low,
        likely=given.likely,
        high=given.high,
        chance=given.chance,
        outcome=outcome,
        crps=crps_of_quantiles(LEVELS, given.quantiles, outcome),
        by_library=rooted + waiting * _library_share(history.case),
        by_last_time=rooted + waiting * _last_share(history, kept.seq, takes),
        early=given.early,
        late=given.late,
        ripe_from=ripe[0] if ripe else None,
        ripe_until=ripe[1] if ripe else None,
        in_window=_in_window(history.case, kept, ripe, nursery) if ripe else None,
    )


def _library_share(case: Case) -> float:
    """The middle of the take that the record gives."""
    take = case.record.taking.take
    return take.middle if take else 1.0


def _last_share(history: History, seq: int, takes: Takes) -> float:
    """The share that took in the last such batch that had ended; the library's without one."""
    known = takes.get(history.kind, [])
    at = bisect_left(known, (seq, 0.0))
    return known[at - 1][1] if at else _library_share(history.case)


def _takes(histories: Iterable[History]) -> Takes:
    """What took in every ended batch whose propagules were all seen to root or to fail."""
    takes: Takes = {}
    for history in histories:
        started = history.state.count - history.state.total(Kind.MISCOUNTED)
        if history.ended and started and not history.left_unseen(0):
            share = history.outcome(0) / started
            takes.setdefault(history.kind, []).append((history.end_seq, share))
    return {kind: sorted(shares) for kind, shares in takes.items()}


def ripened(case: Case) -> tuple[dt.date, dt.date] | None:
    """First and last day on which it may have become worth potting on; None if none rooted.

    By the last of them the record's share of all that rooted had been found or potted on; on
    the day before the first, a full look (or the start) still showed fewer.
    """
    state, share = case.state, case.record.taking.share
    found = [
        (move.on, move.count)
        for move in state.moves
        if move.source and move.source.kind is Kind.WAITING and move.target.kind in ROOTED
    ]
    needed = share * sum(count for _, count in found)
    so_far = 0
    for on, count in found:
        so_far += count
        if so_far >= needed:
            looks = [
                look.on
                for look in state.looks
                if look.rooted is not None and look.sample is None and look.on < on
            ]
            before = max(looks, default=state.on)
            return min(before + dt.timedelta(days=1), on), on
    return None


def _in_window(
    case: Case, kept: Kept, ripe: tuple[dt.date, dt.date], nursery: Nursery
) -> bool | None:
    """Whether the window held, as far as the looks tell; None where it lies between two."""
    given, gate = kept.given, case.record.taking.gate
    first, last = (into_gate(day, case.state.on, gate, nursery, kept.on) for day in ripe)
    if first < given.early and given.late < last:
        return None
    return first <= given.late and given.early <= last


def _tallies(scores: Sequence[Score]) -> Iterator[Tally]:
    """Sums by stage: of all plants first, then plant by plant."""
    by_plant: dict[PlantName, list[Score]] = {}
    for score in scores:
        by_plant.setdefault(score.plant, []).append(score)
    for plant, members in ((None, scores), *sorted(by_plant.items())):
        for stage in STAGES:
            group = [score for score in members if score.stage == stage]
            if group:
                yield _tally(plant, stage, group)


def _tally(plant: PlantName | None, stage: Stage, scores: Sequence[Score]) -> Tally:
    count = len(scores)
    hits, inner = sum(s.hit for s in scores), sum(s.inner_hit for s in scores)
    windows = [score.in_window for score in scores if score.in_window is not None]

    def mean(figures: Iterable[float]) -> float:
        return fsum(figures) / count

    return Tally(
        plant=plant,
        stage=stage,
        batches=count,
        off_by=mean(abs(s.likely - s.outcome) for s in scores),
        too_many=mean(s.likely - s.outcome for s in scores),
        crps=mean(s.crps for s in scores),
        off_by_library=mean(abs(s.by_library - s.outcome) for s in scores),
        off_by_last_time=mean(abs(s.by_last_time - s.outcome) for s in scores),
        hits=hits,
        inner_hits=inner,
        chance=mean(s.chance for s in scores),
        hit_low=share_interval(inner, count).low,
        hit_high=share_interval(hits, count).high,
        windows=len(windows),
        window_hits=sum(windows),
    )
