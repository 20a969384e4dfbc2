"""What was learned of a method's batches, kept beside the book so that it need not be learned anew.

Each method has a file of its own, thrown away without loss. It bears a print of all that the
method's batches showed, one of the code that learns, and a checksum; where any of these does not
fit, the batches are learned anew.
"""

import json
import zlib
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from propagate.science.learning import GroupData, GroupPosterior, Lesson
from propagate.science.lessons import code_print, packed, print_of, unpacked
from propagate.science.pooling import learn_method, recalled
from propagate.store.asides import put

FOLDER: Final = "book.lessons"
WORTH_KEEPING: Final = 30
"""Batches looked at that a method must have; fewer are learned in a few hundredths of a second."""


def learned_or_recalled(
    folder: Path, method: str, groups: Mapping[str, GroupData]
) -> dict[str, GroupPosterior]:
    """What `learn_method` answers for the groups of a method, recalled from `folder` if it can be.

    Raises Refused for sightings that cannot be: more counted than there are, days in disorder.
    """
    if sum(group.telling for group in groups.values()) < WORTH_KEEPING:
        return learn_method(groups)
    path, seen = folder / method, print_of(groups)
    lessons = load(path, seen)
    if lessons is not None:
        return recalled(groups, lessons)
    learned = learn_method(groups)
    keep(path, seen, {key: posterior.lesson for key, posterior in learned.items()})
    return learned


def load(path: Path, seen: str) -> dict[str, Lesson] | None:
    """The lessons of a file; None where there is none that fits what was seen and this program."""
    try:
        head, text = path.read_text(encoding="utf-8").split("\n", 1)
        if json.loads(head) != _head(seen, text):
            return None
        return {key: unpacked(told) for key, told in json.loads(text).items()}
    except (OSError, ValueError, KeyError, TypeError):
        return None


def keep(path: Path, seen: str, lessons: Mapping[str, Lesson]) -> None:
    """Write lessons to a file; where that cannot be done, they will be learned again."""
    text = json.dumps({key: packed(lesson) for key, lesson in lessons.items()})
    with suppress(OSError):
        path.parent.mkdir(exist_ok=True)
    put(path, f"{json.dumps(_head(seen, text))}\n{text}")


def _head(seen: str, text: str) -> dict[str, Any]:
    return {"seen": seen, "code": code_print(), "sum": zlib.crc32(text.encode())}
