"""Public station files: three shapes of GHCN-Daily, its flags and what else they may hold.

The shapes are those of the data set's readme (NOAA NCEI, GHCN-Daily). Lines marked so are
lines of the data set itself.
"""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.records.nursery import WeatherFile
from propagate.weather.files import read_file
from propagate.weather.readings import Readings
from propagate.weather.stations import read_station

NAN = float("nan")
STATION = "AE000041196"
NO_VALUE = "-9999   "

# A line of station AE000041196 in GHCN-Daily, March 1944: nineteen days missing, then twelve
# values of source I.
MARCH_1944 = [380, 346, 319, 302, 296, 308, 291, 296, 296, 335, 396, 313]


def month(element: str, year: int, number: int, *cells: str) -> str:
    """One fixed-width line; days that are not given are missing."""
    values = [*cells, *[NO_VALUE] * (31 - len(cells))]
    return f"{STATION}{year}{number:02d}{element}{''.join(values)}"


def cell(tenths: int, quality: str = " ") -> str:
    return f"{tenths:5d} {quality}I"


def march_1944() -> str:
    return month("TMAX", 1944, 3, *[NO_VALUE] * 19, *[cell(value) for value in MARCH_1944])


def test_a_line_is_269_characters_long() -> None:
    """21 of head and 31 times 8, as the readme has it."""
    assert len(march_1944()) == 269


def test_a_line_of_the_data_set_is_read(read_text) -> None:
    reading = read_text(march_1944())
    assert reading.problems == ()
    assert reading.temps.first == dt.date(1944, 3, 20)
    np.testing.assert_array_equal(reading.temps.high_c, np.array(MARCH_1944) / 10)
    assert np.isnan(reading.temps.low_c).all()


def test_trailing_blanks_may_be_cut_off_and_lines_end_as_they_like(read_text) -> None:
    lines = [month("TMIN", 2026, 11, cell(-12)).replace("-9999   ", "-9999"), "", "  "]
    reading = read_text("\r\n".join([month("TMAX", 2026, 11, cell(55)).rstrip(), *lines]))
    assert reading.temps.low_c.tolist() == [-1.2]
    assert reading.temps.high_c.tolist() == [5.5]


def test_values_that_failed_a_check_are_left_out_and_counted(read_text) -> None:
    reading = read_text(month("TMIN", 2026, 11, cell(10), cell(999, "X"), cell(30)))
    np.testing.assert_array_equal(reading.temps.low_c, [1.0, NAN, 3.0])
    assert reading.left_out == {"failed a quality check": 1}
    assert reading.problems == ()


def test_a_value_on_a_day_that_is_none_is_told_of(read_text) -> None:
    cells = [NO_VALUE] * 27 + [cell(10), cell(20)]
    reading = read_text(month("TMIN", 2027, 2, *cells))
    assert [str(p) for p in reading.problems] == ['readings, line 1: "20270229" is not a day']
    assert reading.temps.low_c.tolist() == [1.0]


def test_other_elements_are_passed_over(read_text) -> None:
    rain = month("PRCP", 2026, 11, cell(31))
    reading = read_text(f"{rain}\n{month('TMIN', 2026, 11, cell(10))}")
    assert reading.temps.low_c.tolist() == [1.0]
    assert reading.left_out == {}


def test_a_line_that_breaks_off_gives_what_it_has(read_text) -> None:
    reading = read_text(month("TMIN", 2026, 11, cell(10), cell(20))[:37])
    assert reading.temps.low_c.tolist() == [1.0, 2.0]


def test_rows_of_one_value_each_are_read(read_text) -> None:
    """The first row is one of the data set: 14.0 °C on 1 January 2019."""
    rows = ["AE000041196,20190101,TMIN,140,,,S,", "AE000041196,20190101,PRCP,0,D,,S,"]
    reading = read_text("\n".join([*rows, "AE000041196,20190102,TMAX,265,,,S,0700"]))
    np.testing.assert_array_equal(reading.temps.low_c, [14.0, NAN])
    np.testing.assert_array_equal(reading.temps.high_c, [NAN, 26.5])
    assert reading.problems == ()


def test_rows_in_disorder_and_twice_are_put_in_order(read_text) -> None:
    rows = [f"{STATION},202611{day:02d},TMIN,{10 * day},,,S," for day in (3, 1, 2, 3)]
    reading = read_text("\n".join(rows))
    assert reading.temps.low_c.tolist() == [1.0, 2.0, 3.0]
    assert reading.left_out == {"given twice": 1}


def test_two_minima_of_a_day_are_told_of_and_the_first_counts(read_text) -> None:
    rows = [f"{STATION},20261101,TMIN,{tenths},,,S," for tenths in (10, 20)]
    reading = read_text("\n".join(rows))
    assert reading.temps.low_c.tolist() == [1.0]
    told = "readings, line 2: 1 Nov 2026 has two minima, 1 and 2 °C; the first counts"
    assert [str(problem) for problem in reading.problems] == [told]


def test_a_minimum_above_its_maximum_leaves_the_day_out(read_text) -> None:
    day = [f"{STATION},20261101,TMIN,50,,,S,", f"{STATION},20261101,TMAX,40,,,S,"]
    next_day = [f"{STATION},20261102,TMIN,40,,,S,", f"{STATION},20261102,TMAX,40,,,S,"]
    reading = read_text("\n".join([*day, *next_day]))
    assert reading.temps.first == dt.date(2026, 11, 2)
    assert [str(problem) for problem in reading.problems] == [
        "readings, line 2: on 1 Nov 2026 the minimum 5 is above the maximum 4"
    ]


WIDE = """"STATION","DATE","NAME","PRCP","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"
"AE000041196","2026-11-02","Somewhere, inland","0","  265",",,S","  140",",,S"
"AE000041196","2026-11-01","Somewhere, inland","","  250",",I,S","",""
"""


def test_a_wide_table_is_read_in_the_unit_that_is_told(read_text) -> None:
    reading = read_text(WIDE, unit="tenths of C")
    np.testing.assert_array_equal(reading.temps.low_c, [14.0])
    np.testing.assert_array_equal(reading.temps.high_c, [26.5])
    assert reading.left_out == {"failed a quality check": 1}


def test_a_web_order_in_fahrenheit_is_turned_into_celsius(read_text) -> None:
    """Water freezes at 32 °F and 68 °F are 20 °C, by the definition of the scale."""
    reading = read_text("STATION,DATE,TMAX,TMIN\nX,2026-11-01,68,32\n", unit="F")
    assert (reading.temps.low_c[0], reading.temps.high_c[0]) == (0, 20)


def test_the_unit_is_never_guessed(read_text) -> None:
    reading = read_text(WIDE)
    assert reading.temps is None
    assert "say which in its unit" in str(reading.problems[0])
    other = read_text(march_1944(), unit="F")
    assert "in tenths of C by its definition, not in F" in str(other.problems[0])


def test_a_wrong_unit_shows_by_what_no_air_can_be(read_text) -> None:
    reading = read_text(WIDE, unit="C")
    assert "140 °C is no air temperature; is the unit right?" in str(reading.problems[0])


TWO = f"{STATION},20261101,TMIN,10,,,S,\nUSC00011084,20261101,TMIN,20,,,S,\n"


def test_one_station_of_several_is_chosen(read_text) -> None:
    assert read_text(TWO, station="USC00011084").temps.low_c.tolist() == [2.0]


def test_of_several_stations_none_is_taken_at_random(read_text) -> None:
    reading = read_text(TWO)
    assert reading.temps is None
    told = f"it holds several stations, {STATION} and USC00011084; choose one as station = ..."
    assert [problem.what for problem in reading.problems] == [told]


def test_a_station_that_is_not_there_is_told_of(read_text) -> None:
    reading = read_text(TWO, station="USC00000000")
    assert f"nothing of station USC00000000, but of {STATION}" in str(reading.problems[0])


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "it is empty"),
        ("\n \n", "it is empty"),
        ("day,low,high\n", "its first line is none of a station's file"),
        (f"{STATION},20261101,PRCP,10,,,S,", "it has no temperature of any day"),
        (f"{STATION},20261101,TMIN,10,", "the row breaks off before its quality flag"),
        (f"{STATION},20261301,TMIN,10,,,S,", '"20261301" is not a day'),
        (f"{STATION},20261101,TMIN,1o,,,S,", '"1o" is not a temperature'),
        (f"{STATION},20261101,TMIN,10,,,S,\nwhat", "this is no row of a station's file"),
        (f"{STATION},10001101,TMIN,10,,,S,", "1000-11-01 cannot be the day of a reading"),
        ("STATION,DATE,TMAX,TMIN\nX,2026-11-01,2\n", "4 cells are wanted, not 3"),
    ],
)
def test_what_is_wrong_is_told(read_text, text: str, told: str) -> None:
    unit = "C" if "DATE" in text else None
    assert told in str(read_text(text, unit=unit).problems[0])


def test_many_slips_are_told_in_part_and_counted(read_text) -> None:
    rows = [f"{STATION},20261101,TMIN,x,,,S,"] * 50
    problems = read_text("\n".join(rows)).problems
    assert str(problems[-1]) == "readings: and 46 more like these"
    assert len(problems) == 6


signs = st.text(alphabet='AE0000411962019,TMINTMAX-9999 IS\n"._\x00é')
wild = st.lists(
    st.one_of(
        st.text(),
        signs,
        st.just(march_1944()),
        st.just("STATION,DATE,TMAX,TMIN"),
        signs.map(lambda text: f"{STATION},20190101,TMIN,{text}"),
        signs.map(lambda text: f"{STATION}194403TMAX{text}"),
    )
)


@given(lines=wild, unit=st.sampled_from([None, "C", "tenths of C"]))
def test_no_text_breaks_the_reader(tmp_path_factory, lines, unit) -> None:
    folder = tmp_path_factory.mktemp("station")
    (folder / "x").write_text("\n".join(lines), "utf-8", "replace")
    reading = read_file(WeatherFile("station", "x", unit=unit), folder)
    assert reading.temps is not None or reading.problems
    if reading.temps is not None:
        known = reading.temps.low_c[np.isfinite(reading.temps.low_c)]
        assert ((known >= -90) & (known <= 60)).all()
        assert not (reading.temps.low_c > reading.temps.high_c).any()


@given(tenths=st.lists(st.integers(-890, 560), min_size=28, max_size=28))
def test_what_is_written_fixed_width_and_by_row_reads_the_same(tenths) -> None:
    fixed = [month("TMIN", 2027, 2, *[cell(value) for value in tenths])]
    rows = [f"{STATION},202702{n:02d},TMIN,{v},,,S," for n, v in enumerate(tenths, start=1)]
    both = []
    for lines in (fixed, rows):
        readings = Readings("station")
        read_station(lines, WeatherFile("station", "x"), readings)
        both.append(readings.daily("station"))
    assert both[0].low_c.tolist() == both[1].low_c.tolist() == [value / 10 for value in tenths]
