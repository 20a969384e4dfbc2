"""How many plants a bed takes at a spacing.

Every plant owns its share of the ground: its distance to the next in the row times the
distance of the rows. In a square these are equal; in a triangle, where every plant is as far
from all its six neighbours, the rows stand closer by sqrt(3)/2, which makes 2/sqrt(3) = 1.155
times as many.
"""

import math
from typing import Final, Literal

from propagate.errors import Refused

Pattern = Literal["square", "triangle"]
PATTERNS: Final[tuple[Pattern, ...]] = ("square", "triangle")

CLOSER_ROWS: Final = math.sqrt(3) / 2
"""Distance of the rows of a triangular pattern, as a share of that of the plants."""

HAIR: Final = 1e-9  # what rounding may take off a count that comes out even


def rows_apart_m(apart_m: float, pattern: Pattern = "square") -> float:
    """Distance of the rows [m] where only that of the plants is said."""
    return apart_m * (CLOSER_ROWS if pattern == "triangle" else 1.0)


def plants_on(area_m2: float, apart_m: float, rows_m: float) -> int:
    """Plants on an area of any shape [m2], so far apart in the row and from row to row [m]."""
    _above_nought(area_m2, apart_m, rows_m)
    return math.floor(area_m2 / (apart_m * rows_m) + HAIR)


def plants_in_rows(
    length_m: float, width_m: float, apart_m: float, rows_m: float, pattern: Pattern = "square"
) -> int:
    """Plants in a bed of straight sides, along whole rows; at least one row.

    The outer plants stand half their distance from the edge. In a triangle every other row is
    shifted by half a distance and has one fewer where that does not fit.
    """
    _above_nought(length_m, width_m, apart_m, rows_m)
    rows = max(1, math.floor(width_m / rows_m + HAIR))
    straight = math.floor(length_m / apart_m + HAIR)
    if pattern == "square":
        return rows * straight
    shifted = max(0, math.floor(length_m / apart_m - 0.5 + HAIR))
    return (rows - rows // 2) * straight + rows // 2 * shifted


def _above_nought(*lengths: float) -> None:
    for length in lengths:
        if length <= 0:
            raise Refused(f"A bed and its spacing are measured above 0; got {length:g}.")
