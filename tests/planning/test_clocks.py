"""Clocks of a batch: the calendar unless warmth is asked for and known; several futures."""

import datetime as dt
from collections.abc import Callable

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from propagate.planning.case import OUT_OF_THE_COLD
from propagate.planning.clocks import CalendarClock, StageClock, calendar_clock
from propagate.planning.warmthclocks import Clocks, WarmthClock, response_of
from propagate.records.methods import Figure, Stage
from propagate.records.nursery import Normals
from propagate.science.clockcurve import ClockCurve
from propagate.weather.places import PlaceTemps, Temperatures
from propagate.weather.series import ONE_DAY, DailyTemps

TODAY = dt.date(2026, 11, 25)
START = dt.date(2026, 11, 1)
WARMTH = Stage("rooting", "take", Figure(4, 8, "memory"), clock="warmth")
CALENDAR = Stage("rooting", "take", Figure(4, 8, "memory"))


def record(first: dt.date, last: dt.date, temp_c: Callable[[dt.date], float]) -> DailyTemps:
    """Days that are as warm at night as at noon."""
    days = [first + ONE_DAY * n for n in range((last - first).days + 1)]
    temps = np.array([temp_c(day) for day in days])
    return DailyTemps(first, temps, temps, "logger")


def clocks(today: dt.date = TODAY, **places: PlaceTemps) -> Clocks:
    return Clocks(Temperatures((), None, places), today)


def kept(temp_c: float) -> PlaceTemps:
    return PlaceTemps("bench", kept_c=(temp_c, temp_c))


# The calendar


@given(start=st.dates(dt.date(1990, 1, 1), dt.date(2100, 1, 1)), day=st.floats(0, 1e5))
def test_the_calendar_is_what_it_always_was(start: dt.date, day: float) -> None:
    clock = calendar_clock(start)
    assert clock.date(day) == start + dt.timedelta(days=round(day))
    assert clock.day(start + dt.timedelta(days=3)) == 3
    assert clock.day(start - dt.timedelta(days=3)) == 0
    assert clock.window((day, day, day)) == (clock.date(day),) * 3
    assert clock.said == ""


@pytest.mark.parametrize("day", [1e9, float("inf")])
def test_a_calendar_ends_where_dates_do(day: float) -> None:
    assert calendar_clock(START).date(day) == dt.date.max


@pytest.mark.parametrize(
    ("made", "stage", "places"),
    [
        (Clocks(None, TODAY), WARMTH, [(START, "bench")]),
        (clocks(), WARMTH, [(START, "bench")]),
        (clocks(bench=PlaceTemps("bench")), WARMTH, [(START, "bench")]),
        (clocks(bench=kept(10)), WARMTH, []),
        (clocks(bench=kept(10)), WARMTH, [(START, "shed")]),
        (clocks(bench=kept(10)), CALENDAR, [(START, "bench")]),
    ],
    ids=["no files", "no place", "nothing known", "nowhere", "elsewhere", "by the calendar"],
)
def test_where_nothing_is_known_or_asked_the_calendar_stays(made, stage, places) -> None:
    (clock,) = made.of(stage, places, START).futures
    assert clock == CalendarClock(START)


# Warmth


def test_a_day_at_the_reference_counts_one_so_the_calendar_comes_out() -> None:
    clock = clocks(bench=kept(18)).of(WARMTH, [(START, "bench")], START)
    calendar = calendar_clock(START)
    assert clock.said == "Days count by their warmth; in bench: kept at 18 °C."
    for days in (0, 1, 17, 400, 5000):
        assert clock.day(START + ONE_DAY * days) == pytest.approx(days)
        assert clock.date(days) == calendar.date(days)


def test_halfway_from_base_to_reference_days_count_half() -> None:
    """5 °C counts nought and 18 °C one, so 11.5 °C counts a half."""
    clock = clocks(bench=kept(11.5)).of(WARMTH, [(START, "bench")], START)
    assert clock.day(START + ONE_DAY * 30) == pytest.approx(15)
    assert clock.date(15) == START + ONE_DAY * 30


def test_a_clock_that_never_gets_there_says_far_off_and_no_error() -> None:
    clock = clocks(bench=kept(2)).of(WARMTH, [(START, "bench")], START)
    assert clock.day(TODAY) == 0
    assert clock.date(1) == START + ONE_DAY * 7300


def test_the_temperatures_of_the_record_are_its_reference() -> None:
    stage = Stage("rooting", "take", Figure(4, 8, "memory"), clock="warmth", temp_c=(21, 24))
    response = response_of(stage)
    assert float(response.rate(21)) == float(response.rate(24)) == 1
    assert float(response.rate(13)) == pytest.approx(0.5)  # half the way from 5 °C


@pytest.mark.parametrize("temp_c", [(2, 4), (28, 40), (-5, 60), (18, 18)])
def test_any_range_of_a_record_makes_a_response(temp_c: tuple[float, float]) -> None:
    stage = Stage("rooting", "take", Figure(4, 8, "memory"), clock="warmth", temp_c=temp_c)
    response = response_of(stage)
    assert float(response.rate(temp_c[0])) == float(response.rate(temp_c[1])) == 1


def test_a_batch_takes_its_clock_along_from_place_to_place() -> None:
    """Ten days at half speed, ten at full, ten by the calendar where nothing is known."""
    made = clocks(dt.date(2027, 1, 1), bench=kept(11.5), house=kept(20))
    moves = [(START - ONE_DAY * 9, "shed"), (START - ONE_DAY, "bench")]
    moves += [(START + ONE_DAY * 10, "House"), (START + ONE_DAY * 20, "nowhere")]
    clock = made.of(WARMTH, moves, START)
    shown = [clock.day(START + ONE_DAY * days) for days in (0, 10, 20, 30)]
    assert shown == pytest.approx([0, 5, 15, 25])
    assert clock.said == "Days count by their warmth; in nowhere: not known, so by the calendar."


def test_a_batch_without_a_place_until_it_moves_runs_by_the_calendar_until_then() -> None:
    clock = clocks(bench=kept(2)).of(WARMTH, [(START + ONE_DAY * 7, "bench")], START)
    assert clock.day(TODAY) == pytest.approx(7)


def test_out_of_the_cold_days_count_by_the_calendar() -> None:
    stays = [(START, "bench"), (START + ONE_DAY * 30, OUT_OF_THE_COLD)]
    clock = clocks(bench=kept(2)).of(WARMTH, stays, START)
    assert clock.date(10) == START + ONE_DAY * 40
    assert clock.said == "Days count by their warmth; once out of the cold, by the calendar."


# Futures


def yearly(day: dt.date) -> float:
    """2024 at 18 °C, 2025 at 11.5 °C, this year at 18 °C."""
    return 11.5 if day.year == 2025 else 18.0


READ = record(dt.date(2024, 1, 1), TODAY - ONE_DAY, yearly)
YEARS = PlaceTemps("bed", read=READ)


def test_each_year_on_record_gives_a_future_and_the_past_is_one() -> None:
    clock = clocks(bed=YEARS).of(WARMTH, [(START, "bed")], START)
    assert len(clock.futures) == 2
    today = [future.day(TODAY) for future in clock.futures]
    assert today == pytest.approx([24, 24])
    later = sorted(future.day(TODAY + ONE_DAY * 37) for future in clock.futures)
    # 37 days to the end of the year: at half speed as in 2025, at full speed as in 2024.
    assert later == pytest.approx([24 + 37 / 2, 24 + 37])
    assert clock.day(TODAY + ONE_DAY * 37) == pytest.approx(np.mean(later))
    assert clock.said == "Days count by their warmth; in bed: as read, then 2 years of logger."


def test_past_days_without_a_reading_are_counted_and_told() -> None:
    short = READ.until(TODAY - ONE_DAY * 5)
    clock = clocks(bed=PlaceTemps("bed", read=short)).of(WARMTH, [(START, "bed")], START)
    assert clock.said.endswith("Past days without a reading, made up: 4.")
    first, second = (future.day(TODAY) for future in clock.futures)
    assert first == second
    assert 20 < first < 24


def test_a_hole_in_the_year_of_a_future_counts_like_the_others() -> None:
    low = READ.low_c.copy()
    low[(dt.date(2025, 12, 10) - READ.first).days] = np.nan
    holed = PlaceTemps("bed", read=DailyTemps(READ.first, low, READ.high_c, "logger"))
    clock = clocks(bed=holed).of(WARMTH, [(START, "bed")], START)
    day = dt.date(2026, 12, 10)
    counted = [future.day(day + ONE_DAY) - future.day(day) for future in clock.futures]
    assert counted == pytest.approx([1, 1])  # as on that day of 2024


def test_the_normals_give_a_window_as_wide_as_seasons_differ() -> None:
    normals = Normals((11.5,) * 12, (11.5,) * 12, 2)
    clock = clocks(bed=PlaceTemps("bed", normals=normals)).of(WARMTH, [(START, "bed")], START)
    assert len(clock.futures) == 5
    early, likely, late = clock.window((40, 40, 40))
    assert early < likely < late
    assert likely == clock.date(40)


def test_futures_that_agree_give_the_window_of_one() -> None:
    """Twenty points of a log-normal law against its own 10, 50 and 90 % points."""
    one = CalendarClock(START)
    early, likely, late = StageClock((one, one)).window((30, 60, 120))
    for found, days in ((early, 30), (likely, 60), (late, 120)):
        assert abs((found - one.date(days)).days) <= 1


@given(
    rates=st.lists(st.just(0.0) | st.floats(1e-9, 1), min_size=2, max_size=6),
    days=st.tuples(*[st.floats(0.5, 500)] * 3).map(sorted),
)
def test_a_window_is_in_order_and_within_the_futures(rates, days) -> None:
    futures = tuple(WarmthClock(START, ClockCurve.of_days([rate])) for rate in rates)
    early, likely, late = StageClock(futures).window(tuple(days))
    assert START <= early <= likely <= late


def test_clocks_of_one_place_and_year_reckon_its_days_once() -> None:
    made = clocks(bed=YEARS)
    for day in range(1, 20):
        made.of(WARMTH, [(dt.date(2026, 10, day), "bed")], dt.date(2026, 10, day))
    assert len(made._known) == 1


# Chill

COLD = Stage("cold", "treat", Figure(10, 10, "memory"), clock="chill", temp_c=(1, 5))


def chilled(known: PlaceTemps, **more) -> tuple[dt.date, dt.date] | None:
    return clocks(bench=known, **more).chilled(COLD, [(START, "bench")], START)


def test_a_place_as_cold_as_a_fridge_chills_day_by_day() -> None:
    assert chilled(kept(4)) == (START + ONE_DAY, START + 70 * ONE_DAY)


@pytest.mark.parametrize(("unit", "days"), [("hours", 70), ("utah", 70), ("portions", 80)])
def test_a_record_may_count_its_cold_in_published_units(unit, days) -> None:
    """Ten weeks at a steady 4 °C, at which the Dynamic Model makes 30 portions in 1,000 hours:
    of 70 days at 6 °C, 57 portions, that is in 80 days; the first takes some 30 hours."""
    spell = evolve(COLD, chill=unit)
    begins, ends = clocks(bench=kept(4)).chilled(spell, [(START, "bench")], START)
    assert (ends - START).days == pytest.approx(days, abs=2)
    assert (begins - START).days <= 3


def test_neither_a_warm_nor_a_frozen_place_chills() -> None:
    assert chilled(kept(18)) is None
    assert chilled(kept(-4)) is None


def test_a_winter_chills_in_its_cold_months_only() -> None:
    """4 °C from December to February, else 15 °C: 70 days are full on 9 February."""
    mild = [15.0 if month in range(3, 12) else 4.0 for month in range(1, 13)]
    outdoors = PlaceTemps("bench", normals=Normals(tuple(mild), tuple(mild), 0.0))
    found = chilled(outdoors)
    assert found is not None
    begins, ends = found
    assert dt.date(2026, 11, 14) < begins < dt.date(2026, 12, 15)  # months run into each other
    assert dt.date(2027, 1, 28) < ends < dt.date(2027, 2, 20)


def test_chill_is_not_guessed_where_a_place_is_not_known() -> None:
    known = clocks(bench=kept(4))
    assert known.chilled(COLD, [(START, "shed")], START) is None
    assert known.chilled(COLD, [], START) is None
