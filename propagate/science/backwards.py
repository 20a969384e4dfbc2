"""The forecast run backwards: how many to start so that enough come, with confidence."""

from collections.abc import Callable
from typing import Final

from propagate.errors import Refused
from propagate.science.counts import at_least
from propagate.science.timing import Array

MOST: Final = 5_000
"""More propagules than any nursery of this kind starts in one batch; the search ends there."""


def smallest_start(
    wanted: int, confidence: float, pmf_of: Callable[[int], Array], most: int = MOST
) -> int:
    """Smallest number to start so that P(at least `wanted` come) is at least `confidence`.

    `pmf_of(n)` is the forecast for n started, an array over 0..n; the chance may not fall as
    n rises, which holds for every forecast of one law. Doubling, then bisection: exact.
    Raises Refused when even `most` are not enough, or for a confidence outside 0 to 1.
    """
    if not 0 < confidence < 1:
        raise Refused(f"the confidence lies between 0 and 1; got {confidence:g}")
    if wanted <= 0:
        return 0

    def enough(started: int) -> bool:
        return at_least(pmf_of(started), wanted) >= confidence

    too_few, plenty = wanted - 1, wanted
    while not enough(plenty):
        if plenty >= most:
            raise Refused(
                f"even {most} started give {wanted} with less than {confidence:.0%} chance; "
                "ask for fewer, later, or with less confidence"
            )
        too_few, plenty = plenty, min(2 * plenty, most)
    while plenty - too_few > 1:
        middle = (too_few + plenty) // 2
        too_few, plenty = (too_few, middle) if enough(middle) else (middle, plenty)
    return plenty
