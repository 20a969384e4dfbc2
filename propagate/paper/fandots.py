"""What was seen of a batch on its fan: a mark for each check, and its words where they fit."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Final

from propagate.paper.drawing import Box, Frame, Mark, Text, free_spot, plain
from propagate.records.fans import Fan, FanDot

LABEL_MM: Final = 3.2
WIDEST_BAND: Final = (0.05, 0.95)
"""The quantiles between which all of the fan lies."""


def today_box(fan: Fan, frame: Frame) -> Box:
    """The line of the day of the answer, which no words should cross."""
    x = frame.x_mm(fan.as_of)
    return Box(x - 0.3, frame.top_mm, 0.6, frame.bottom_mm - frame.top_mm)


def mark_of(dot: FanDot, frame: Frame, radius_mm: float = 1.3) -> Mark:
    """A check: full where all were counted, open for a sample, small where none were."""
    x, y = frame.point(dot.date, dot.plants)
    line = radius_mm * 0.3
    if dot.sample is not None:
        return Mark("sample", x, y, radius_mm, fill="white", stroke="black", line_mm=line)
    if dot.rooted is None:
        return Mark("dead", x, y, radius_mm * 0.6, line_mm=line)
    return Mark("check", x, y, radius_mm, line_mm=line)


def dot_texts(fan: Fan, frame: Frame, marks: Sequence[Mark], words: Sequence[Text]) -> list[Text]:
    """What each check found, beside its dot where neither `words` nor anything else stands."""
    taken = [text.box for text in words]
    taken += [Box(mark.x_mm - 1.5, mark.y_mm - 1.5, 3.0, 3.0) for mark in marks]
    taken += _band_boxes(fan, frame)
    if fan.first <= fan.as_of <= fan.last:
        taken.append(today_box(fan, frame))
    texts: list[Text] = []
    for dot, mark in zip(fan.dots, marks, strict=True):
        chosen = free_spot(_spots(_dot_words(dot, fan.taken), mark, frame), taken)
        texts.append(chosen)
        taken.append(chosen.box)
    return texts


def _band_boxes(fan: Fan, frame: Frame) -> Iterable[Box]:
    """Where the fan itself runs, week by week, which no words should hide."""
    low, high = WIDEST_BAND
    for week, after in pairwise(fan.weeks):
        left, right = frame.x_mm(week.date), frame.x_mm(after.date)
        top, bottom = frame.y_mm(after.quantiles[high]), frame.y_mm(week.quantiles[low])
        yield Box(left, top, right - left, max(bottom - top, 0.5))


def _dot_words(dot: FanDot, taken: str) -> str:
    parts = []
    if dot.sample is not None:
        parts.append(f"sample: {dot.rooted or 0} of {dot.sample} {taken}")
    elif dot.rooted is not None:
        parts.append(f"{dot.rooted} {taken}")
    if dot.dead:
        parts.append(f"{dot.dead} dead")
    return ", ".join(parts)


def _spots(words: str, mark: Mark, frame: Frame) -> list[Text]:
    """Places around a dot, the best first: left above, where the line of the found is not."""
    x, y = mark.x_mm, mark.y_mm
    tried = [
        ((x - 2.0, y - 1.6), "end"),
        ((x + 2.2, y + 3.8), "start"),
        ((x - 2.0, y + 3.8), "end"),
        ((x + 2.2, y - 1.6), "start"),
        *(((x - 2.0, y - 1.6 - 3.8 * up), "end") for up in (1, 2, 3)),
        *(((x + 2.2, y + 3.8 + 3.8 * down), "start") for down in (1, 2, 3)),
    ]
    spots = [plain(words, at, LABEL_MM, anchor=anchor, bold=True) for at, anchor in tried]
    inside = [
        spot
        for spot in spots
        if spot.box.x_mm >= frame.left_mm
        and spot.box.x_mm + spot.box.width_mm <= frame.right_mm
        and frame.top_mm <= spot.box.y_mm
        and spot.box.y_mm + spot.box.height_mm <= frame.bottom_mm
    ]
    return inside or spots
