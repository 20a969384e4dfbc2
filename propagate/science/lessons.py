"""Lessons written down and read back, and a print of what they were learned from.

A lesson follows from what was seen and from the code of this package, and from nothing else; so
where both prints are those it was learned under, it is what learning anew would come to.
"""

import base64
import hashlib
from collections.abc import Mapping
from functools import cache
from operator import attrgetter
from pathlib import Path
from typing import Any

import attrs
import numpy as np

from propagate.science.grid import EarlyNodes, SharedNodes
from propagate.science.learning import GroupData, Lesson
from propagate.science.timing import Array


def print_of(groups: Mapping[str, GroupData]) -> str:
    """A print of all that the groups were told: equal for equal numbers, to the last digit.

    A batch that nobody has looked at teaches nothing, so it may come without a change.
    """
    told = [
        (
            key,
            _numbers(group.prior),
            group.lingering,
            [_batch(batch) for batch in group.batches if batch.sightings],
        )
        for key, group in groups.items()
    ]
    return hashlib.sha256(repr(told).encode()).hexdigest()


@cache
def code_print() -> str:
    """A print of the code that learns, and of the numpy under it."""
    told = hashlib.sha256(np.__version__.encode())
    for file in sorted(Path(__file__).parent.glob("*.py")):
        told.update(file.read_bytes())
    return told.hexdigest()


def packed(lesson: Lesson) -> dict[str, Any]:
    """A lesson as JSON can hold it, its arrays as the bytes of their numbers."""
    nodes = lesson.nodes
    return {
        "log_odds": _text(nodes.log_odds),
        "precision": _text(nodes.precision),
        "early_at": nodes.early_at.tolist(),
        "usage_at": nodes.usage_at.tolist(),
        "early": _text(nodes.early.at),
        "own": nodes.early.own,
        "weight": _text(lesson.weight),
        "take_log_odds": _text(lesson.take_log_odds),
        "take_mass": _text(lesson.take_mass),
    }


def unpacked(told: Mapping[str, Any]) -> Lesson:
    """The lesson that was packed; raises ValueError, KeyError or TypeError where it is none."""
    nodes = SharedNodes(
        log_odds=_array(told["log_odds"]),
        precision=_array(told["precision"]),
        early_at=np.array(told["early_at"], dtype=np.int_),
        usage_at=np.array(told["usage_at"], dtype=np.int_),
        early=EarlyNodes(_array(told["early"]), float(told["own"])),
    )
    return Lesson(
        nodes, _array(told["weight"]), _array(told["take_log_odds"]), _array(told["take_mass"])
    )


def _batch(batch: Any) -> tuple[Any, ...]:
    return batch.count, [(type(s).__name__, _numbers(s)) for s in batch.sightings]


def _numbers(record: Any) -> tuple[Any, ...]:
    return tuple(_fields(record.__class__)(record))


@cache
def _fields(kind: Any) -> "attrgetter[Any]":
    return attrgetter(*(field.name for field in attrs.fields(kind)))


def _text(numbers: Array) -> str:
    return base64.b64encode(numbers.astype("<f8").tobytes()).decode()


def _array(text: str) -> Array:
    return np.frombuffer(base64.b64decode(text), dtype="<f8").astype(np.float64)
