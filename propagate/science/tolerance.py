"""Whether the replicates of a germination test agree well enough to be averaged."""

from collections.abc import Sequence
from typing import Final

from propagate.errors import Refused

LOWEST_MEAN: Final = 70

_HIGHEST_MEANS: Final = {
    4: (5, (99, 98, 97, 96, 95, 94, 92, 90, 88, 86, 83, 80, 77, 72)),
    2: (6, (97, 95, 94, 92, 89, 87, 83, 80, 75)),
}
"""By number of replicates: the narrowest range in the table, then the highest mean per cent
of it and of each range wider by one. United States, 7 CFR 201.55, replicates of 100 seeds, as
in force. Kept as a table: the statistic behind it rounds to other numbers in five places."""


def widest_range(mean_percent: float, replicates: int = 4) -> int:
    """Widest allowed range, in per cent, among replicates of 100 seeds with this mean.

    The mean is rounded to a whole number; m and 101 - m share an entry, as in the source.
    Raises Refused for other than two or four replicates, and for a mean beyond the table as it
    was seen: it has 70 to 99 and 2 to 31 % (for two replicates 70 to 97 and 4 to 31 %).
    """
    if replicates not in _HIGHEST_MEANS:
        raise Refused(f"The table is for two or four replicates of 100 seeds, not {replicates}.")
    narrowest, highest_means = _HIGHEST_MEANS[replicates]
    whole = int(mean_percent + 0.5)
    mean = max(whole, 101 - whole)
    if not LOWEST_MEAN <= mean <= highest_means[0]:
        raise Refused(f"The table has no entry for {replicates} replicates at {mean_percent:g} %.")
    return narrowest - 1 + sum(mean <= highest for highest in highest_means)


def agree(percents: Sequence[float]) -> bool:
    """Whether two or four replicates of 100 seeds [%] lie within the widest allowed range."""
    mean = sum(percents) / len(percents)
    return max(percents) - min(percents) <= widest_range(mean, len(percents))
