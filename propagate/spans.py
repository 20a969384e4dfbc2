"""The two ends of a range in words."""

import math
from collections.abc import Sequence

from propagate.units import DAYS_PER_WEEK
from propagate.worded import worded


def span(low: str, high: str) -> str:
    """12 to 24, or only 12 where both ends read alike."""
    return low if low == high else worded("{low} to {high}", low=low, high=high)


def time_words(low_weeks: float, high_weeks: float, *, scored: bool = False) -> str:
    """6 to 12 weeks; 60 to 90 days where an end is no half of a week, as from a source in days.

    Of trials that were only scored on such days it is the most that it took.
    """
    if scored:
        return worded("{time} at most", time=time_words(low_weeks, high_weeks))
    if low_weeks * 2 % 1 == 0 == high_weeks * 2 % 1:
        return worded("{weeks} weeks", weeks=span(f"{low_weeks:g}", f"{high_weeks:g}"))
    low, high = (f"{end * DAYS_PER_WEEK:.0f}" for end in (low_weeks, high_weeks))
    return worded("{days} days", days=span(low, high))


def rounded(number: float) -> str:
    """A number of plants to three figures, its thousands set apart: 736, 8,700, 1,280,000."""
    whole = round(number)
    digits = len(str(abs(whole)))
    return f"{round(whole, -max(0, digits - 3)):,}"


def whole_parts(parts: Sequence[float]) -> list[int]:
    """The parts of a whole number rounded so that they still make it: the largest rests go up."""
    floors = [math.floor(part) for part in parts]
    missing = round(math.fsum(parts)) - sum(floors)
    by_rest = sorted(range(len(parts)), key=lambda at: floors[at] - parts[at])
    for at in by_rest[:missing]:
        floors[at] += 1
    return floors
