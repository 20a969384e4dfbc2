"""Each place's temperatures: its logger, what it is kept at, and the open air as felt there."""

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from propagate.records.nursery import (
    LoggerColumns,
    Normals,
    Nursery,
    Place,
    Weather,
    WeatherFile,
)
from propagate.weather.places import Temperatures, read_temperatures
from propagate.weather.series import ONE_DAY

TODAY = dt.date(2026, 11, 25)
COLUMNS = LoggerColumns("day", "low", "high")
NORMALS = Normals((5.0,) * 12, (15.0,) * 12, 0)
PLACES = (
    Place("sand bed"),
    Place("cold frame", (0, 30)),
    Place("heated bench", (18, 24)),
    Place("fridge", cold=True),
)

Days = dict[dt.date, tuple[float, float]]


def days(first: dt.date, last: dt.date, low_c: float, high_c: float) -> Days:
    return {first + ONE_DAY * n: (low_c, high_c) for n in range((last - first).days + 1)}


def read(folder: Path, normals: Normals | None = None, **read_in: Days) -> Temperatures:
    """A nursery with the places above, and a file for each keyword; `air` hangs outdoors."""
    files = {}
    for name, temps in read_in.items():
        rows = [f"{day},{low},{high}" for day, (low, high) in temps.items()]
        (folder / name).write_text("\n".join(["day,low,high", *rows]), encoding="utf-8")
        place = "" if name == "air" else name.replace("_", " ")
        files[name] = WeatherFile(name, name, place, "C", COLUMNS)
    places = {place.name: place for place in PLACES}
    return read_temperatures(
        Nursery("X", places=places, weather=Weather(normals, files)), folder, TODAY
    )


YEARS_OUT = days(dt.date(2024, 11, 1), TODAY - ONE_DAY, -4, 6)


def test_without_temperatures_there_is_no_course(tmp_path: Path) -> None:
    temps = read(tmp_path)
    for place in ("sand bed", "cold frame", "fridge"):
        assert temps.at(place).course(TODAY, 10) is None
    assert temps.at("nowhere") is None
    assert temps.outdoors is None


def test_a_place_kept_within_few_degrees_is_as_warm_as_that(tmp_path: Path) -> None:
    course = read(tmp_path, air=YEARS_OUT).at("Heated Bench").course(TODAY, 2)
    np.testing.assert_array_equal(course.low_c, [[18, 18]])
    np.testing.assert_array_equal(course.high_c, [[24, 24]])
    assert course.said == "kept at 18 to 24 °C"
    assert not course.known.any()


def test_a_wide_range_only_bounds_the_open_air(tmp_path: Path) -> None:
    temps = read(tmp_path, air=YEARS_OUT)
    frame, bed = (temps.at(place).course(TODAY, 2) for place in ("cold frame", "sand bed"))
    np.testing.assert_array_equal(frame.low_c, [[0, 0], [0, 0]])
    np.testing.assert_array_equal(frame.high_c, [[6, 6], [6, 6]])
    np.testing.assert_array_equal(bed.low_c, [[-4, -4], [-4, -4]])
    assert bed.said == "2 years of air outdoors"


def test_a_fridge_does_not_follow_the_weather(tmp_path: Path) -> None:
    assert read(tmp_path, NORMALS, air=YEARS_OUT).at("fridge").course(TODAY, 2) is None


def test_days_read_are_the_same_in_every_future(tmp_path: Path) -> None:
    own = days(TODAY - 5 * ONE_DAY, TODAY - 4 * ONE_DAY, 3, 9)
    place = read(tmp_path, air=YEARS_OUT, sand_bed=own).at("sand bed")
    course = place.course(TODAY - 6 * ONE_DAY, 8)
    np.testing.assert_array_equal(course.low_c[0], [-4, 3, 3, -4, -4, -4, -4, -4])
    np.testing.assert_array_equal(course.low_c[0], course.low_c[1])
    np.testing.assert_array_equal(course.known, [True] * 6 + [False] * 2)
    assert place.record.source == "sand_bed, air outdoors"


def test_a_place_read_for_long_enough_is_told_from_the_open_air(tmp_path: Path) -> None:
    own = days(TODAY - 40 * ONE_DAY, TODAY - ONE_DAY, 1, 8)
    temps = read(tmp_path, air=YEARS_OUT, sand_bed=own)
    assert temps.at("sand bed").warmer_c == (5, 2)
    course = temps.at("sand bed").course(TODAY, 1)
    np.testing.assert_array_equal((course.low_c, course.high_c), [[[1], [1]], [[8], [8]]])


def test_without_years_the_normals_serve(tmp_path: Path) -> None:
    own = days(TODAY - 40 * ONE_DAY, TODAY - ONE_DAY, 1, 8)
    course = read(tmp_path, NORMALS, sand_bed=own).at("sand bed").course(TODAY - ONE_DAY, 2)
    np.testing.assert_array_equal(course.low_c, [[1, 5]] * 5)
    assert course.said == "the monthly normals"


def test_without_years_and_normals_a_few_readings_make_no_course(tmp_path: Path) -> None:
    own = days(TODAY - 40 * ONE_DAY, TODAY - ONE_DAY, 1, 8)
    place = read(tmp_path, sand_bed=own).at("sand bed")
    assert place.course(TODAY, 1) is None
    assert len(place.record) == 40


def test_readings_after_today_are_not_known_yet(tmp_path: Path) -> None:
    air = days(TODAY - 3 * ONE_DAY, TODAY + 3 * ONE_DAY, 1, 8)
    assert read(tmp_path, air=air).outdoors.last == TODAY


def test_what_is_wrong_in_any_file_is_collected(tmp_path: Path) -> None:
    (tmp_path / "bad").write_text("day,low,high\n2026-11-01,x,1\n", encoding="utf-8")
    files = {
        "bad": WeatherFile("bad", "bad", unit="C", columns=COLUMNS),
        "gone": WeatherFile("gone", "gone"),
    }
    temps = read_temperatures(Nursery("X", weather=Weather(None, files)), tmp_path, TODAY)
    assert [problem.where for problem in temps.problems] == ["bad, line 2", "gone"]


@pytest.mark.parametrize("ends", [(-4, 2), (7, 30)])
def test_a_place_that_evens_out_days_never_turns_them_round(tmp_path: Path, ends) -> None:
    own = days(TODAY - 40 * ONE_DAY, TODAY - ONE_DAY, *ends)
    air = days(TODAY - 40 * ONE_DAY, TODAY - ONE_DAY, 0, 30)
    air |= days(dt.date(2024, 11, 1), dt.date(2026, 10, 1), 5, 6)
    course = read(tmp_path, air=air, sand_bed=own).at("sand bed").course(TODAY, 400)
    assert (course.low_c <= course.high_c)[np.isfinite(course.low_c)].all()
