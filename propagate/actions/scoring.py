"""The book's own record: forecasts kept as they are given, and judged once a batch is done."""

from collections.abc import Iterable, Sequence
from typing import Any

from propagate.actions.answering import cases
from propagate.actions.desk import Desk
from propagate.actions.meaning import batches_meant
from propagate.planning import scoring
from propagate.records.scores import Score, Tally, TrackRecord


def track_record(desk: Desk, what: Sequence[str] = ()) -> TrackRecord:
    """How good the forecasts of these batches or plants have been, of all when `what` is empty."""
    wanted = [code for text in what for code in batches_meant(desk, text)] if what else None
    return scoring.track_record(cases(desk), desk.book, desk.nursery, wanted)


def track_record_view(record: TrackRecord) -> dict[str, Any]:
    """The answer to `forecast --record` as JSON; `plant` is null for all plants together."""
    return {
        "tallies": [_tally_view(tally) for tally in record.tallies],
        "scores": [_score_view(score) for score in record.scores],
        "open": record.open,
        "set_aside": record.set_aside,
    }


def _tally_view(tally: Tally) -> dict[str, Any]:
    return {
        "plant": None if tally.plant is None else str(tally.plant),
        "stage": tally.stage,
        "batches": tally.batches,
        "off_by": round(tally.off_by, 3),
        "too_many": round(tally.too_many, 3),
        "crps": round(tally.crps, 3),
        "off_by_library": round(tally.off_by_library, 3),
        "off_by_last_time": round(tally.off_by_last_time, 3),
        "hits": tally.hits,
        "inner_hits": tally.inner_hits,
        "chance": round(tally.chance, 3),
        "hit_share": [round(tally.hit_low, 3), round(tally.hit_high, 3)],
        "windows": tally.windows,
        "window_hits": tally.window_hits,
    }


def _score_view(score: Score) -> dict[str, Any]:
    return {
        "batch": score.batch,
        "plant": str(score.plant),
        "method": score.method,
        "stage": score.stage,
        "given": score.given.isoformat(),
        "low": score.low,
        "likely": score.likely,
        "high": score.high,
        "chance": score.chance,
        "outcome": score.outcome,
        "hit": score.hit,
        "crps": round(score.crps, 3),
        "by_library": round(score.by_library, 3),
        "by_last_time": round(score.by_last_time, 3),
        "window": _days((score.early, score.late)),
        "ripe": _days((score.ripe_from, score.ripe_until)),
        "in_window": score.in_window,
    }


def _days(days: Iterable[Any]) -> list[str] | None:
    """Days in ISO form, None where there are none."""
    given = [day.isoformat() for day in days if day is not None]
    return given or None
