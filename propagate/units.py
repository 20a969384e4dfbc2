"""Constants and conversions, each with its source."""

from typing import Final

DAYS_PER_WEEK: Final = 7

CM2_PER_M2: Final = 10_000.0

MM_PER_INCH: Final = 25.4  # international inch, exact since 1959
POINTS_PER_INCH: Final = 72.0  # PDF default user space unit, ISO 32000-1 section 8.3.2.3


def mm_from_points(points: float) -> float:
    """Length in mm of a length in PDF points."""
    return points * MM_PER_INCH / POINTS_PER_INCH
