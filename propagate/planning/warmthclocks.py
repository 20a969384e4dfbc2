"""Clocks that count days by their warmth or chill, from the temperatures of a batch's places.

stage, places, temperatures -> how many reference days each calendar day counts, in each
future -> a clock that turns dates into clock days, which science knows, and back
"""

import datetime as dt
from collections.abc import Sequence
from typing import Final

import numpy as np
from attrs import define, field, frozen
from numpy.typing import NDArray

from propagate.planning.case import OUT_OF_THE_COLD
from propagate.planning.clocks import StageClock, calendar_clock
from propagate.records.methods import Stage
from propagate.science.chill import CHILL_LIMIT_C, ChillBand, ChillUnits
from propagate.science.clockcurve import ClockCurve
from propagate.science.warmth import WarmthResponse
from propagate.weather.courses import DAYS_OF_A_YEAR, Course
from propagate.weather.places import Temperatures
from propagate.weather.series import Array
from propagate.worded import in_a_row, worded

BASE_C: Final = 5.0
"""Below this a day counts nothing (memory; a middle way: seed of cool-season vegetables comes up
from about 0 °C, poplar cuttings root from 10 to 14 °C, Silvae Genetica 54, 2005, 47-58)."""

REFERENCE_C: Final = 18.0
"""A day at this temperature counts one, where a record does not name its own: the cool end of
what rooting media are kept at (common practice)."""

OPTIMUM_END_C: Final = 27.0
"""More warmth than this speeds nothing up: pine cuttings root best at 25 to 28 °C (Southern
African Forestry Journal 196, 2002), poinsettias at 26 to 28 °C (Wilkerson et al. 2005, Journal
of the American Society for Horticultural Science 130, 302-307)."""

CEILING_C: Final = 35.0
"""From here on a day counts nothing (memory; poinsettias, a tropical shrub, rooted slowly or not
at all from 32 °C, Wilkerson et al. 2005)."""

LEAST_SLOPE_C: Final = 5.0
"""The response rises and falls over so many degrees at least, whatever a record says (memory)."""

CHILL_FROM_C: Final = 0.0
"""Frozen seed is not chilled: its changes need water that moves (common practice)."""

FIRST_CHILL_DAYS: Final = 1.0  # so much chill, and the spell has begun

GOOD_TIME_DAYS: Final = 400
"""A cold spell that the weather does not bring within a year and a month is done by hand."""

YEARS_AHEAD: Final = 3
"""Days are looked at one by one so far ahead; later ones count like the last year's mean."""

FAR_DAYS: Final = 20 * DAYS_OF_A_YEAR
"""A day that a clock never reaches, as in a place that is always too cold, is put so far off."""

Response = WarmthResponse | ChillBand | ChillUnits

Places = Sequence[tuple[dt.date, str]]
"""Where a batch stood: the day it came there, and the place; in order."""


@frozen(eq=False)
class WarmthClock:
    """Every day counts by its warmth, as one future has it."""

    start: dt.date
    curve: ClockCurve

    def day(self, date: dt.date) -> float:
        """Reference days since the start."""
        days, known = max(0, (date - self.start).days), self.curve.known_days
        beyond = max(0, days - known) * self.curve.rate_beyond
        return float(self.curve.readings[min(days, known)]) + beyond

    def date(self, day: float) -> dt.date:
        """The date by which so many reference days have gone; far off where they never will."""
        return dt.date.fromordinal(int(self.ordinals(np.array(day))))

    def ordinals(self, days: Array) -> Array:
        """The same for many days."""
        elapsed_days = np.minimum(self.curve.calendar_of(days), FAR_DAYS)
        return self.start.toordinal() + np.rint(elapsed_days)


def response_of(stage: Stage) -> WarmthResponse:
    """How much a day counts in a stage: one within the temperatures that its record names."""
    reference_c, optimum_end_c = stage.temp_c or (REFERENCE_C, OPTIMUM_END_C)
    return WarmthResponse(
        base_c=min(BASE_C, reference_c - LEAST_SLOPE_C),
        reference_c=reference_c,
        optimum_end_c=optimum_end_c,
        ceiling_c=max(CEILING_C, optimum_end_c + LEAST_SLOPE_C),
    )


def chill_of(stage: Stage) -> ChillBand | ChillUnits:
    """How a cold spell counts a day: in the units its record names, else days within a band.

    The band is that of chill, widened to the record's own temperatures.
    """
    if stage.chill != "days":
        return ChillUnits(stage.chill)
    low_c, high_c = stage.temp_c or (CHILL_FROM_C, CHILL_LIMIT_C)
    return ChillBand(min(low_c, CHILL_FROM_C), max(high_c, CHILL_LIMIT_C))


@frozen(eq=False)
class _PlaceDays:
    """How many reference days each day of a place counts from `first` on, (futures, days).

    `unread`, shape (days,), marks the days that nobody read; `said` is where all are from.
    """

    first: dt.date
    counted: Array
    unread: NDArray[np.bool_]
    said: str

    def part(self, begins: dt.date, ends: dt.date) -> Array:
        """The days from `begins` to the day before `ends`."""
        return self.counted[:, (begins - self.first).days : (ends - self.first).days]


@define(eq=False)
class Clocks:
    """Makes the clocks of batches as of one day; each place's days are reckoned once."""

    temps: Temperatures | None
    today: dt.date
    _known: dict[tuple[str, Response, dt.date], _PlaceDays | None] = field(factory=dict)

    def of(self, stage: Stage, places: Places, start: dt.date) -> StageClock:
        """The clock of a stage that began on `start`, of a batch that stood in these places.

        It runs by the calendar unless the record says by warmth or chill; so do the days of a
        batch in a place whose temperature is not known.
        """
        horizon = self._horizon(start)
        legs = [leg for leg in _legs(places, start) if leg[0] < horizon]
        if stage.clock == "calendar" or not legs:
            return calendar_clock(start)
        response = chill_of(stage) if stage.clock == "chill" else response_of(stage)
        known = [self._days_of(place, response, start) for _, place in legs]
        if not any(known):
            return calendar_clock(start)
        counted = _joined(known, [begins for begins, _ in legs], horizon)
        readings = np.cumsum(np.pad(counted, ((0, 0), (1, 0))), axis=1)
        rates_beyond = counted[:, -DAYS_OF_A_YEAR:].mean(axis=1)
        futures = tuple(
            WarmthClock(start, ClockCurve(row, float(rate)))
            for row, rate in zip(readings, rates_beyond, strict=True)
        )
        return StageClock(futures, self.today, self._said(legs, known))

    def chilled(
        self, stage: Stage, places: Places, start: dt.date
    ) -> tuple[dt.date, dt.date] | None:
        """The first day and the end of a cold spell that a batch's places bring by themselves.

        The end is where the record's middle number of chill days is full, in the middle of
        the futures. None where a place is not known, or not cold enough in good time.
        """
        legs = _legs(places, start)
        response = chill_of(stage)
        if not legs or not all(self._days_of(place, response, start) for _, place in legs):
            return None
        clock = self.of(stage, places, start)
        begins, ends = clock.date(FIRST_CHILL_DAYS), clock.date(stage.middle_days)
        return (begins, ends) if (ends - start).days <= GOOD_TIME_DAYS else None

    def _days_of(self, place: str, response: Response, start: dt.date) -> _PlaceDays | None:
        first = start.replace(month=1, day=1)  # so that a year's batches share it
        key = (place, response, first)
        if key not in self._known:
            temps = self.temps.at(place) if self.temps else None
            days = (self._horizon(start) - first).days
            course = temps.course(first, days) if temps else None
            self._known[key] = _counted(course, response, self.today) if course else None
        return self._known[key]

    def _horizon(self, start: dt.date) -> dt.date:
        year = min(max(start, self.today).year + YEARS_AHEAD, dt.MAXYEAR)
        return dt.date(year, 12, 31)

    def _said(self, legs: Places, known: Sequence[_PlaceDays | None]) -> str:
        """What the clock runs by now, and how many past days had to be made up."""
        made_up = 0
        ends = [*(begins for begins, _ in legs[1:]), self.today]
        for (begins, _), leg_ends, days in zip(legs, ends, known, strict=True):
            if days is not None and not days.unread.all():
                part = slice(*(max(0, (on - days.first).days) for on in (begins, leg_ends)))
                made_up += int(days.unread[part].sum())
        words = _said_of(legs[-1][1], known[-1])
        if not made_up:
            return words
        more = worded("Past days without a reading, made up: {count}.", count=made_up)
        return in_a_row([words, more], " ")


def _said_of(place: str, days: _PlaceDays | None) -> str:
    """What the clock runs by from now on."""
    if place == OUT_OF_THE_COLD:
        return worded("Days count by their warmth; once out of the cold, by the calendar.")
    said = days.said if days else worded("not known, so by the calendar")
    return worded("Days count by their warmth; in {place}: {said}.", place=place, said=said)


def _legs(places: Places, start: dt.date) -> list[tuple[dt.date, str]]:
    """Where a batch stood from `start` on: the day each stay begins, and the place."""
    before = [place for came, place in places if came <= start]
    after = [(came, place) for came, place in places if came > start]
    return [(start, before[-1]), *after] if before else [(start, ""), *after] if after else []


def _joined(
    known: Sequence[_PlaceDays | None], begins: Sequence[dt.date], horizon: dt.date
) -> Array:
    """The days of one stay after the other, in the futures of the last, (futures, days)."""
    ends = [*begins[1:], horizon]
    parts = [
        days.part(its_begin, its_end)
        if days is not None
        else np.ones((1, (its_end - its_begin).days))
        for days, its_begin, its_end in zip(known, begins, ends, strict=True)
    ]
    futures = len(parts[-1])
    past = [part.mean(axis=0, keepdims=True).repeat(futures, axis=0) for part in parts[:-1]]
    return np.concatenate([*past, parts[-1]], axis=1)


def _counted(course: Course, response: Response, today: dt.date) -> _PlaceDays:
    """What each day of a course counts; the past is one, whatever the futures.

    A day missing in the year that a future is taken from counts like the other futures' mean,
    and like the mean of all days where none has it.
    """
    counted = np.empty(course.low_c.shape)
    read = course.known
    counted[:, read] = response.daily(course.low_c[0, read], course.high_c[0, read])
    counted[:, ~read] = response.daily(course.low_c[:, ~read], course.high_c[:, ~read])
    missing = np.isnan(counted)
    filled = np.where(missing, 0.0, counted)
    had = np.maximum((~missing).sum(axis=0), 1)
    of_others = np.where(missing.all(axis=0), filled.sum() / (~missing).sum(), filled.sum(0) / had)
    counted = np.where(missing, of_others, counted)
    past = slice(0, max(0, (today - course.first).days))
    counted[:, past] = counted[:, past].mean(axis=0)
    said = worded("as read, then {said}", said=course.said) if read.any() else course.said
    return _PlaceDays(course.first, counted, ~read, said)
