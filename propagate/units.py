"""Constants and conversions, each with its source."""

from typing import Final, Literal

System = Literal["metric", "imperial"]
"""The units a reader is used to; everything is kept and reckoned in metric ones."""

ChillModel = Literal["days", "hours", "utah", "portions"]
"""How cold is counted: days within a band, hours below 7.2 °C, Utah units, chill portions."""

DAYS_PER_WEEK: Final = 7
DAYS_PER_YEAR: Final = 365.25  # Julian year, ISO 80000-3

CM2_PER_M2: Final = 10_000.0

MM_PER_INCH: Final = 25.4  # international inch, exact since 1959
CM_PER_INCH: Final = 2.54
POINTS_PER_INCH: Final = 72.0  # PDF default user space unit, ISO 32000-1 section 8.3.2.3


def mm_from_points(points: float) -> float:
    """Length in mm of a length in PDF points."""
    return points * MM_PER_INCH / POINTS_PER_INCH


def inches(length_cm: float) -> float:
    """Length in inches of a length in cm."""
    return length_cm / CM_PER_INCH


def square_feet(area_m2: float) -> float:
    """Area in square feet of an area in m²; a foot is 12 inches."""
    return area_m2 / (CM_PER_INCH * 12 / 100) ** 2


def fahrenheit(temp_c: float) -> float:
    """Temperature [°F] of one in °C: 32 °F is 0 °C and 212 °F is 100 °C (NIST SP 811, B.8)."""
    return temp_c * 9 / 5 + 32
