"""A whole distribution of plants boiled down to what an answer says of it."""

from propagate.records.answers import QUANTILES, PlantCount
from propagate.science import counts
from propagate.science.timing import Array


def plant_count(pmf: Array, known: int, chance: float) -> PlantCount:
    """The plants to come by their distribution `pmf`, with the `known` that are there already.

    `chance` is that of the range from low to high.
    """
    inner = counts.interval(pmf, chance)
    found = counts.quantiles(pmf, QUANTILES)
    return PlantCount(
        low=known + inner.low,
        likely=known + inner.likely,
        high=known + inner.high,
        mean=known + inner.mean,
        chance=chance,
        quantiles={level: known + more for level, more in zip(QUANTILES, found, strict=True)},
    )
