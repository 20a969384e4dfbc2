"""The temperatures of each place, from its own logger, what it is kept at, and the open air."""

import datetime as dt
from collections.abc import Iterable
from pathlib import Path
from typing import Final

import numpy as np
from attrs import evolve, frozen

from propagate.errors import Problem
from propagate.nearness import folded
from propagate.records.nursery import SET_POINT_SPAN_C, Normals, Nursery, Place
from propagate.spans import span
from propagate.weather.courses import Course, Ends, from_normals, from_years, steady
from propagate.weather.files import FileReading, read_file
from propagate.weather.series import Array, DailyTemps, merged
from propagate.worded import worded, worded_count

COMMON_DAYS: Final = 30
"""So many days must be read both in a place and outdoors before one is told from the other
(memory)."""


@frozen(eq=False)
class PlaceTemps:
    """What is known of the temperature at one place.

    `read` was logged there. `air` is the open air's record as it would be felt there, and
    `normals` those of the open air; both are moved by `warmer_c` (minima, maxima) and held
    within `kept_c`.
    """

    place: str
    read: DailyTemps | None = None
    air: DailyTemps | None = None
    normals: Normals | None = None
    kept_c: tuple[float, float] | None = None
    warmer_c: tuple[float, float] = (0.0, 0.0)

    @property
    def is_steady(self) -> bool:
        """Whether the range that the place is kept within says how warm its days are."""
        return self.kept_c is not None and self.kept_c[1] - self.kept_c[0] <= SET_POINT_SPAN_C

    @property
    def record(self) -> DailyTemps | None:
        """Every day that was read: logged here, else outdoors; None without any."""
        sources = [self.read] if self.is_steady else [self.read, self.air]
        return merged([each for each in sources if each is not None])

    def ahead(self, first: dt.date) -> str:
        """Where days from `first` on are taken from, in words; empty where from nothing."""
        return self._futures(first, 1)[1]

    def course(self, first: dt.date, days: int) -> Course | None:
        """The courses from `first` on; None where neither years nor normals are known."""
        futures, said = self._futures(first, days)
        if futures is None:
            return None
        record = self.record
        if record is None:
            return Course(first, *futures, np.zeros(days, dtype=np.bool_), said)
        read_low, read_high = record.between(first, days)
        known = np.isfinite(read_low + read_high)
        low, high = (
            np.where(known, read, future)
            for read, future in zip((read_low, read_high), futures, strict=True)
        )
        return Course(first, low, high, known, said)

    def _futures(self, first: dt.date, days: int) -> tuple[Ends | None, str]:
        """The futures from a day on, and where they are from."""
        if self.is_steady and self.kept_c is not None:
            return steady(self.kept_c, days), worded(
                "kept at {degrees}", degrees=degrees(*self.kept_c)
            )
        record = self.record
        by_year = from_years(record, first, days) if record is not None else None
        if by_year is not None and record is not None:
            years = len(by_year[0])
            said = worded_count(
                "{count} year of {source}", "{count} years of {source}", years, source=record.source
            )
            return by_year, said
        if self.normals is not None:
            low, high = from_normals(self.normals, first, days)
            return felt(low, high, self.warmer_c, self.kept_c), worded("the monthly normals")
        return None, ""


@frozen(eq=False)
class Temperatures:
    """All temperatures of a nursery up to one day, by place, with what was wrong in its files."""

    files: tuple[FileReading, ...]
    outdoors: DailyTemps | None
    places: dict[str, PlaceTemps]

    def at(self, place: str) -> PlaceTemps | None:
        """What is known of a place, None for one that the settings do not know."""
        return self.places.get(folded(place))

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything wrong in any of the files."""
        return tuple(problem for each in self.files for problem in each.problems)


def read_temperatures(nursery: Nursery, folder: Path, today: dt.date) -> Temperatures:
    """Read all files that the settings name and bring them together, as of `today`."""
    files = tuple(read_file(file, folder) for file in nursery.weather.files.values())
    outdoors = _read_in(files, "", today)
    places = {
        folded(place.name): _at_place(
            place, _read_in(files, place.name, today), outdoors, nursery.weather.normals
        )
        for place in nursery.places.values()
    }
    return Temperatures(files, outdoors, places)


def read_outdoors(nursery: Nursery, folder: Path, today: dt.date) -> DailyTemps | None:
    """The open air's record alone, as of `today`; None without any."""
    files = [file for file in nursery.weather.files.values() if not file.place]
    return _read_in([read_file(file, folder) for file in files], "", today)


def _read_in(files: Iterable[FileReading], place: str, today: dt.date) -> DailyTemps | None:
    found = [each.temps.until(today) for each in files if each.temps and each.file.place == place]
    return merged([each for each in found if each is not None])


def _at_place(
    place: Place, read: DailyTemps | None, outdoors: DailyTemps | None, normals: Normals | None
) -> PlaceTemps:
    known = PlaceTemps(place.name, read, kept_c=place.temp_c)
    if place.cold and place.temp_c is None:
        return known  # a fridge does not follow the weather
    if outdoors is None:
        return evolve(known, normals=normals)
    warmer_c = _warmer(read, outdoors) if read is not None else (0.0, 0.0)
    low, high = felt(outdoors.low_c, outdoors.high_c, warmer_c, place.temp_c)
    air = DailyTemps(outdoors.first, low, high, f"{outdoors.source} outdoors")
    return evolve(known, air=air, normals=normals, warmer_c=warmer_c)


def felt(
    low_c: Array,
    high_c: Array,
    warmer_c: tuple[float, float],
    kept_c: tuple[float, float] | None,
) -> Ends:
    """The open air's days as they are in a place that is warmer and held within bounds."""
    low, high = low_c + warmer_c[0], high_c + warmer_c[1]
    high = np.maximum(low, high)  # a place that evens out days cannot turn them round
    if kept_c is not None:
        low, high = np.clip(low, *kept_c), np.clip(high, *kept_c)
    return low, high


def _warmer(read: DailyTemps, outdoors: DailyTemps) -> tuple[float, float]:
    """By how much the minima and the maxima of a place lie above the open air's, in the middle."""
    low, high = outdoors.between(read.first, len(read))
    both = np.isfinite(low + high) & read.complete
    if both.sum() < COMMON_DAYS:
        return 0.0, 0.0
    more = (np.median((read.low_c - low)[both]), np.median((read.high_c - high)[both]))
    return float(more[0]), float(more[1])


def degrees(low_c: float, high_c: float) -> str:
    """A range of temperatures in words."""
    return worded("{range} {unit}", range=span(f"{low_c:g}", f"{high_c:g}"), unit="°C")
