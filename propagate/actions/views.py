"""Answers as plain dictionaries, the JSON that programs read. Keys may be added, never changed."""

from typing import Any

from propagate.ledger import BatchState
from propagate.library import Library
from propagate.records.answers import BatchForecast, DueTask, Forecast, PlantCount, PotOn
from propagate.records.families import Doubt
from propagate.records.methods import MethodRecord


def pot_on_view(window: PotOn) -> dict[str, Any]:
    """The pot-on window with ISO days."""
    return {
        "early": window.early.isoformat(),
        "likely": window.likely.isoformat(),
        "late": window.late.isoformat(),
        "why": window.why,
    }


def count_view(plants: PlantCount) -> dict[str, Any]:
    """A count of plants with its quantiles."""
    return {
        "low": plants.low,
        "likely": plants.likely,
        "high": plants.high,
        "mean": round(plants.mean, 3),
        "chance": plants.chance,
        "quantiles": {f"{q:g}": count for q, count in plants.quantiles.items()},
    }


def batch_view(answer: BatchForecast) -> dict[str, Any]:
    """One batch's answer, as `start`, `check` and `forecast` print it."""
    return {
        "batch": answer.batch,
        "plant": str(answer.plant),
        "method": answer.method,
        "count": answer.count,
        "started": answer.started.isoformat(),
        "accounts": answer.accounts,
        "pot_on": pot_on_view(answer.pot_on),
        "plants": count_view(answer.plants),
        "free": count_view(answer.free),
        "why": list(answer.why),
        **({"expected": _rounded(answer.expected)} if answer.expected else {}),
    }


def _rounded(expected: dict[str, float]) -> dict[str, float]:
    return {account: round(count, 3) for account, count in expected.items()}


def forecast_view(answer: Forecast) -> dict[str, Any]:
    """The whole answer to `forecast`."""
    return {
        "as_of": answer.as_of.isoformat(),
        "by": answer.by.isoformat() if answer.by else None,
        "batches": [batch_view(batch) for batch in answer.batches],
        "totals": [
            {
                "plant": str(total.plant),
                **count_view(total.plants),
                "free": count_view(total.free),
            }
            for total in answer.totals
        ],
    }


def task_view(task: DueTask) -> dict[str, Any]:
    """One job that is due."""
    return {
        "date": task.date.isoformat(),
        "batch": task.batch,
        "plant": str(task.plant),
        "action": task.action,
        "why": task.why,
        "place": task.place,
        "until": (task.until or task.date).isoformat(),
    }


def record_view(record: MethodRecord, library: Library) -> dict[str, Any]:
    """One method record; `plant` is null for a method's general record."""
    take = record.taking.take
    return {
        "method": record.method,
        "plant": record.plant,
        "weeks": list(record.weeks),
        "take": [take.low, take.high] if take else [1.0, 1.0],
        "basis": record.basis,
        "source": library.source_line(record) or record.basis,
        "months": list(record.season.months),
        "note": record.note,
    }


def doubt_view(doubt: Doubt) -> dict[str, str]:
    """What is suspected of a mother plant or batch."""
    return {
        "since": doubt.on.isoformat(),
        "subject": doubt.subject,
        "about": doubt.about,
        "why": doubt.why,
    }


def state_view(state: BatchState) -> dict[str, Any]:
    """What `show` adds about a batch: where it stands and where it came from."""
    started = state.started
    return {
        "place": state.place,
        "trays": list(state.trays),
        "mark": started.mark,
        "stock_plant": started.stock_plant,
        "note": started.note,
        "promised": {to: count for to, count in state.promised.items() if count},
        "suspected": [doubt_view(doubt) for doubt in state.doubts],
        "reprint": state.needs_reprint,
        "for_sale": state.for_sale,
    }
