"""Hours of daylight by latitude and day of the year."""

import math

import numpy as np
from numpy.typing import ArrayLike

from propagate.errors import Refused
from propagate.science.timing import Array


def day_hours(latitude_deg: float, day_of_year: ArrayLike) -> Array:
    """Hours from sunrise to sunset; `latitude_deg` is north of the equator, south negative.

    With the sun's declination d = 0.409 sin(2 pi J / 365 - 1.39) and the sunset angle
    w = arccos(-tan(latitude) tan d) it is 24 w / pi (Allen et al. 1998, FAO Irrigation and
    Drainage Paper 56, equations 24, 25 and 34). The cosine is held within -1 and 1: polar
    night has 0 hours, polar day 24. Twilight, refraction and hills are left out, which is
    worth some ten minutes in middle latitudes. Raises Refused for a latitude that is none.
    """
    if not -90 <= latitude_deg <= 90:
        raise Refused(f"A latitude lies between -90 and 90 degrees; got {latitude_deg:g}.")
    day = np.asarray(day_of_year, dtype=np.float64)
    declination = 0.409 * np.sin(2 * math.pi * day / 365 - 1.39)
    cosine = -math.tan(math.radians(latitude_deg)) * np.tan(declination)
    return np.asarray(24 * np.arccos(np.clip(cosine, -1.0, 1.0)) / math.pi)
