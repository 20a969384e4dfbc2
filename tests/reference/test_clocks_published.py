"""Degree-days, chill, daylength and frost dates against published numbers.

Each source stands beside its numbers. Where a number is marked as derived it was computed
apart from this program, from the published formula that is named.
"""

import datetime as dt

import numpy as np
import pytest

from propagate.science import chill, warmth
from propagate.science.daylength import day_hours
from propagate.science.frost import FrostLaw, frost_law, month_day, winter_day
from propagate.science.hourly import DayShape, hourly_temperatures

LOWER, UPPER = 12.0, 33.0


@pytest.mark.parametrize(
    ("low", "high", "printed", "exact"),
    # Tests of the R package TrenchR (Buckley et al.), degree-day functions: lower threshold
    # 12, upper 33, horizontal cut-off. The exact values are derived from the same integral.
    [
        (7, 14, 0.47, 0.4681),
        (7, 10, 0, 0),
        (13, 14, 1.5, 1.5),
        (13, 40, 12.94, 12.9443),
        (7, 40, 10.94, 10.9397),
    ],
)
def test_single_sine(low, high, printed, exact):
    found = warmth.single_sine(low, high, LOWER, UPPER)
    assert found == pytest.approx(printed, abs=0.005)
    assert found == pytest.approx(exact, abs=5e-5)


def test_double_sine():
    # TrenchR as above, halves alike: 2.87; derived to four places: 2.8744.
    found = warmth.double_sine(7, 20, 7, LOWER, UPPER)
    assert found == pytest.approx(2.87, abs=0.005)
    assert found == pytest.approx(2.8744, abs=5e-5)


@pytest.mark.parametrize(
    ("low", "high", "printed"),
    # TrenchR as above; 7 to 14 is 2 / 7 exactly.
    [(7, 14, 0.29), (7, 10, 0), (13, 14, 1.5), (35, 40, 21)],
)
def test_single_triangle(low, high, printed):
    assert warmth.single_triangle(low, high, LOWER, UPPER) == pytest.approx(printed, abs=0.005)


def test_a_day_above_the_upper_threshold_counts_the_whole_gap():
    # Derived from the horizontal cut-off itself: 33 - 12 = 21 by every method.
    assert warmth.single_sine(35, 40, LOWER, UPPER) == pytest.approx(21)


def test_without_an_upper_threshold():
    # Derived from the published formulas, base 12.
    for method in (
        warmth.single_sine,
        warmth.single_triangle,
        warmth.average_mean_clipped,
        warmth.average_ends_clipped,
    ):
        assert method(13, 40, LOWER) == pytest.approx(14.5)
    assert warmth.single_triangle(7, 40, LOWER) == pytest.approx(11.8788, abs=5e-5)
    assert warmth.single_sine(7, 40, LOWER) == pytest.approx(12.3392, abs=5e-5)
    assert warmth.average_mean_clipped(7, 14, LOWER) == 0
    assert warmth.average_mean_clipped(13, 14, LOWER) == pytest.approx(1.5)


def test_averaging_in_fahrenheit():
    # University of California IPM, Citrus degree-days: mean 64 F over a base of 53 F is 11.
    assert warmth.average_mean_clipped(58, 70, 53) == pytest.approx(11)


def test_the_two_readings_of_averaging_differ():
    # McMaster & Wilhelm 1997; derived for base 12, 7 to 14.
    assert warmth.average_mean_clipped(7, 14, LOWER) == 0
    assert warmth.average_ends_clipped(7, 14, LOWER) == pytest.approx(1)


def test_the_rule_of_quarters():
    # Formula of Met Eireann, "Degree days"; derived for base 12.
    assert warmth.quarter_rule([7, 7], [20, 14], LOWER) == pytest.approx([2.75, 0.5])


@pytest.mark.parametrize(
    ("fahrenheit", "units"),
    # University of California, Davis, Fruit & Nut Research: Utah units by hour; one
    # temperature from within each band, for the bands in Celsius have edges of their own.
    [(30, 0), (35, 0.5), (42, 1), (51, 0.5), (57, 0), (63, -0.5), (70, -1)],
)
def test_utah_units_in_fahrenheit_bands(fahrenheit, units):
    assert chill.utah_units((fahrenheit - 32) / 1.8) == units


@pytest.mark.parametrize(
    ("celsius", "units"),
    # R package ChillModels, utah_model (after Richardson et al. 1974): ends of each band.
    [
        *[(1.3, 0), (1.5, 0.5), (2.4, 0.5), (2.5, 1), (9.1, 1), (9.2, 0.5), (12.4, 0.5)],
        *[(12.5, 0), (15.9, 0), (16, -0.5), (18, -0.5), (18.1, -1)],
    ],
)
def test_utah_units_in_celsius_bands(celsius, units):
    assert chill.utah_units(celsius) == units


def test_chill_hours_have_two_definitions():
    # University of California, Davis, as above: hours below 45 F (7.2 C), or from 32 to 45 F.
    # Derived counts for hours at -3, 0, 3, 7.2 and 8 C.
    hours = [-3, 0, 3, 7.2, 8]
    assert chill.hours_below(hours).sum() == 3
    assert chill.hours_between(hours).sum() == 3
    assert chill.hours_between(hours, 0.1, 7.1).sum() == 1


def test_a_banded_sum_of_a_winter_month():
    # University of California Cooperative Extension, blog post 19053: 32 h at or below 32 F,
    # 153 h of 33 to 45, 170 h of 46 to 60 (half), and 188 h above 61 F, a quarter at -0.5 and
    # three quarters at -1: 153 + 85 - 24 - 141 = 73. Here at one temperature for each band.
    fahrenheit = np.repeat([30.0, 40.0, 50.0, 63.0, 70.0], [32, 153, 170, 47, 141])
    assert chill.utah_units((fahrenheit - 32) / 1.8).sum() == pytest.approx(73, abs=0.5)


def test_smooth_chill_units():
    # American Meteorological Society, Glossary of Meteorology, "chill units".
    assert chill.smooth_units([-5, 1, 7, 14, 21]) == pytest.approx([0, 0, 1, 0, -1], abs=1e-12)


@pytest.mark.parametrize(
    ("celsius", "first_hour", "portions"),
    # Derived from the formulas of the Dynamic Model (Fishman, Erez & Couvillon 1987) as the R
    # package fruclimadapt documents them: steady temperatures, hour of the first portion
    # and portions after 168, 500 and 1,000 hours.
    [
        (0, 35, (0.4339, 2.1332, 4.8519)),
        (2, 32, (3.7282, 12.7385, 26.3322)),
        (4, 31, (4.5589, 14.6751, 29.8494)),
        (5, 30, (5.0375, 15.9471, 32.7311)),
        (6, 30, (4.8892, 16.6152, 34.2042)),
        (8, 30, (5.0830, 17.2838, 34.5684)),
        (10, 32, (5.0680, 16.2178, 32.4355)),
        (12, 40, (4.0002, 12.0007, 25.0015)),
    ],
)
def test_portions_at_a_steady_temperature(celsius, first_hour, portions):
    made = chill.portions(np.full(1000, float(celsius)))
    assert np.flatnonzero(made)[0] + 1 == first_hour
    assert np.cumsum(made)[[167, 499, 999]] == pytest.approx(portions, abs=5e-5)


def test_a_week_at_four_degrees_in_every_way_of_counting_cold():
    # Portions derived as above; a steady 4 C lies within 0 to 7.2 C, below 7.2 C and in the
    # band of Utah units that counts one (sources above), all of a week's 168 hours.
    summed = chill.chill_sum(np.full(7, 4.0), np.full(7, 4.0))
    assert (summed.read, summed.days, summed.hours, summed.utah) == pytest.approx((7, 7, 168, 168))
    assert summed.portions == pytest.approx(4.5589, abs=5e-5)


def test_no_portion_is_made_at_thirteen_degrees():
    # Derived as above.
    assert chill.portions(np.full(1000, 13.0)).sum() == 0


@pytest.mark.parametrize(("noon", "portions"), [(16.0, 19.5464), (24.0, 0.0)])
def test_portions_of_a_daily_cycle(noon, portions):
    # Derived as above: thirty days of 16 h at 6 C and 8 h at 16 or 24 C.
    hourly = np.tile([6.0] * 16 + [noon] * 8, 30)
    assert chill.portions(hourly).sum() == pytest.approx(portions, abs=5e-5)


def test_the_daytime_curve():
    # Tests of the R package TrenchR, sine and exponential after Parton & Logan 1981 with the
    # lags of Wann et al. 1985: 10 to 30 C, sun from 6 to 18 h, 23.91954 C at 11 h. Here from
    # the middles of the two hours beside it, whose mean lies under a bent curve's top.
    hourly = hourly_temperatures(10, 30, 12, DayShape(2.59, 1.55, 2.2))
    assert (hourly[10] + hourly[11]) / 2 == pytest.approx(23.91954, abs=0.1)


@pytest.mark.parametrize(
    ("latitude", "day", "hours"),
    # Derived from the formulas of FAO Irrigation and Drainage Paper 56 (equations 24, 25, 34).
    [
        (50, 172, 16.1469),
        (50, 355, 7.8533),
        (52, 80, 11.9486),
        (0, 100, 12.0),
        (60, 172, 18.4873),
    ],
)
def test_hours_of_daylight(latitude, day, hours):
    assert day_hours(latitude, day) == pytest.approx(hours, abs=5e-5)


# University of Delaware, frost dates of Georgetown: the spring days after which a freeze comes
# with a chance of 10, 33, 50, 67 and 90 per cent, for three limits.
GEORGETOWN = [
    ("32 F", ("05-10", "04-30", "04-25", "04-20", "04-10")),
    ("24 F", ("04-09", "04-01", "03-27", "03-22", "03-14")),
    ("16 F", ("03-13", "03-03", "02-25", "02-19", "02-09")),
]


def spring_day(text):
    date = dt.date.fromisoformat(f"2002-{text}")
    return winter_day((date.month, date.day))


@pytest.mark.parametrize(("limit", "dates"), GEORGETOWN)
def test_published_spring_dates_follow_the_law_of_two_of_them(limit, dates):
    """The law through the 10 and 50 % dates meets the other three to the day they round to."""
    tenth, third, half, two_thirds, ninth = (spring_day(date) for date in dates)
    law = FrostLaw(1.0, half, (tenth - half) / 1.2816)
    for chance, day in ((0.33, third), (0.67, two_thirds), (0.9, ninth)):
        assert law.day_exceeded(chance) == pytest.approx(day, abs=1.0)


def test_the_deviations_of_georgetown():
    # Derived from the 10 and 50 % dates at 32 F: 11.70 days in spring, 33 % on 30 April;
    # 10.92 in autumn, where the 33 % date lies 4.81 days before the half, on 11 October.
    spring = FrostLaw(1.0, spring_day("04-25"), 15 / 1.2816)
    assert spring.deviation_days == pytest.approx(11.70, abs=0.005)
    assert month_day(spring.day_exceeded(0.33)) == (4, 30)
    autumn = FrostLaw(1.0, winter_day((10, 16)), 14 / 1.2816)
    assert autumn.day_undercut(0.33) - winter_day((10, 16)) == pytest.approx(-4.81, abs=0.01)
    assert month_day(autumn.day_undercut(0.33)) == (10, 11)


def test_winters_without_frost_come_first():
    # Method of mixed distributions (Thom 1959): with frost in half of the winters, the day
    # exceeded with a chance of 10 % over all is the 20 % day of those that have one.
    half = frost_law([*np.linspace(280, 300, 11), *[np.nan] * 11])
    always = FrostLaw(1.0, half.mean_day, half.deviation_days)
    assert half.day_exceeded(0.1) == pytest.approx(always.day_exceeded(0.2))
    assert half.day_exceeded(0.5) is None
