"""A logger's table: columns by name, days as it writes them, readings reduced to days."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.records.nursery import LoggerColumns, WeatherFile
from propagate.weather.files import read_file

NAN = float("nan")
DAILY = LoggerColumns("Day", "Low", "High")
HOURLY = LoggerColumns("Time", "Temp", "Temp")


def test_a_table_of_days_is_read(read_text) -> None:
    reading = read_text("Day,Low,High\n2026-11-01,2.5,9\n2026-11-03,-1,8\n", DAILY, "C")
    assert reading.problems == ()
    assert reading.temps.first == dt.date(2026, 11, 1)
    np.testing.assert_array_equal(reading.temps.low_c, [2.5, NAN, -1])
    np.testing.assert_array_equal(reading.temps.high_c, [9, NAN, 8])


def test_columns_may_stand_anywhere_below_what_the_logger_says_of_itself(read_text) -> None:
    text = "Logger 7\n\nbattery,good\nNr,High,Day,Low\n1,9,2026-11-01,2\n"
    reading = read_text(text, DAILY, "C")
    assert (reading.temps.low_c[0], reading.temps.high_c[0]) == (2, 9)


def test_readings_of_a_day_are_reduced_to_its_ends(read_text) -> None:
    hours = [f"2026-11-01 {hour:02d}:00,{10 + hour % 12}" for hour in range(24)]
    reading = read_text("\n".join(["Time,Temp", *reversed(hours)]), HOURLY, "C")
    assert len(reading.temps) == 1
    assert (reading.temps.low_c[0], reading.temps.high_c[0]) == (10, 21)


def test_a_day_begun_or_broken_off_gives_no_minimum(read_text) -> None:
    """The logger was hung up at noon of the first day and taken down on the last morning."""
    start = dt.datetime(2026, 11, 1, 12)
    moments = [start + dt.timedelta(hours=hour) for hour in range(12 + 48 + 6)]
    rows = [f"{moment.isoformat()},{moment.hour}" for moment in moments]
    reading = read_text("\n".join(["Time,Temp", *rows]), HOURLY, "C")
    assert (reading.temps.first, reading.temps.last) == (dt.date(2026, 11, 2), dt.date(2026, 11, 3))
    assert reading.left_out == {"too few readings in the day": 2}


def test_a_mad_reading_does_not_make_the_day(read_text) -> None:
    rows = ["2026-11-01 01:00,4", "2026-11-01 02:00,850", "2026-11-01 03:00,6"]
    reading = read_text("\n".join(["Time,Temp", *rows]), HOURLY, "C")
    assert (reading.temps.low_c[0], reading.temps.high_c[0]) == (4, 6)
    told = "readings, line 3: 850 °C is no air temperature; is the unit right?"
    assert [str(problem) for problem in reading.problems] == [told]


def test_the_day_is_the_one_on_the_clock_where_the_logger_hangs(read_text) -> None:
    reading = read_text("Time,Temp\n2026-11-01T23:30:00-05:00,4\n", HOURLY, "C")
    assert reading.temps.first == dt.date(2026, 11, 1)


def test_days_in_another_form_are_read_as_the_settings_say(read_text) -> None:
    columns = LoggerColumns("Day", "Low", "High", "%d/%m/%y")
    reading = read_text("Day,Low,High\n03/11/26,1,2\n", columns, "C")
    assert reading.temps.first == dt.date(2026, 11, 3)


def test_a_day_in_another_form_is_not_guessed(read_text) -> None:
    reading = read_text("Day,Low,High\n03/11/2026,1,2\n", DAILY, "C")
    assert reading.temps is None
    assert '"03/11/2026" is not a day as 2026-11-25' in str(reading.problems[0])


@pytest.mark.parametrize(
    ("day", "offered"),
    [
        ("03/11/2026", '"%d/%m/%Y" or "%m/%d/%Y"'),
        ("30/11/2026 14:05", '"%d/%m/%Y %H:%M"'),
        ("11/30/2026 02:05:00 PM", '"%m/%d/%Y %I:%M:%S %p"'),
        ("30.11.26", '"%d.%m.%y"'),
    ],
)
def test_the_form_of_a_day_is_offered_and_then_read(read_text, day: str, offered: str) -> None:
    text = f"Day,Low,High\n{day},1,2\n"
    (problem, *_) = read_text(text, DAILY, "C").problems
    assert str(problem).endswith(f"set day_format = {offered}")
    for form in offered.split(" or "):
        columns = LoggerColumns("Day", "Low", "High", form.strip('"'))
        assert read_text(text, columns, "C").temps.first.year == 2026


def test_a_day_in_no_form_at_all_is_told_as_such(read_text) -> None:
    (problem, *_) = read_text("Day,Low,High\nlast week,1,2\n", DAILY, "C").problems
    assert str(problem).endswith("; set day_format")


@pytest.mark.parametrize(
    "text", ["Day;Low;High\n2026-11-01;2,5;9,0\n", "Day\tLow\tHigh\n2026-11-01\t2.5\t9.0\n"]
)
def test_semicolons_tabs_and_decimal_commas_are_read(read_text, text: str) -> None:
    reading = read_text(text, DAILY, "C")
    assert (reading.temps.low_c[0], reading.temps.high_c[0]) == (2.5, 9)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_signs_in_the_names_of_columns_survive_their_encoding(read_text, encoding: str) -> None:
    columns = LoggerColumns("Day", "Low (°C)", "High (°C)")
    text = "Day,Low (°C),High (°C)\r\n2026-11-01,2,9\r\n"
    assert read_text(text.encode(encoding), columns, "C").temps.low_c.tolist() == [2]


def test_fahrenheit_is_turned_into_celsius(read_text) -> None:
    """32 °F are 0 °C and 50 °F are 10 °C, by the definition of the scale."""
    reading = read_text("Day,Low,High\n2026-11-01,32,50\n", DAILY, "F")
    assert (reading.temps.low_c[0], reading.temps.high_c[0]) == (0, 10)


def test_cells_without_a_reading_are_gaps_and_no_slips(read_text) -> None:
    reading = read_text("Day,Low,High\n2026-11-01,2,9\n2026-11-02,,NA\n", DAILY, "C")
    assert reading.problems == ()
    assert len(reading.temps) == 1


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Day,low,High\n", 'readings: none of its first lines names a column "Low"'),
        ("Day,Low (C),High\n", 'did you mean "Low (C)"?'),
        ("Day,Low,High\n2026-11-31,1,2\n", 'readings, line 2: "2026-11-31" is not a day as'),
        ("Day,Low,High\n\n2026-11-01,x,2\n", 'readings, line 3: "x" is not a temperature'),
        ("Day,Low,High\n2026-11-01,1_0,2\n", 'readings, line 2: "1_0" is not a temperature'),
        ("Day,Low,High\n2026-11-01,1\n", "readings, line 2: 3 cells are wanted, not 2"),
        ("Day,Low,High\n", "readings: it has no temperature of any day"),
        ("", 'readings: none of its first lines names a column "Day"'),
    ],
)
def test_what_is_wrong_is_told_with_its_line(read_text, text: str, told: str) -> None:
    assert told in str(read_text(text, DAILY, "C").problems[0])


signs = st.text(alphabet='2026-11:T ,;\t"\r\n.+eNaé\x00°')
rows = st.lists(st.one_of(st.text(), signs, signs.map(lambda cell: f"2026-11-01,{cell},9")))
forms = st.sampled_from(["", "%d/%m/%Y", "%Y-%m-%d"])


@given(lines=rows, several=st.booleans(), form=forms, named=st.booleans())
def test_no_text_breaks_the_reader(tmp_path_factory, lines, several, form, named) -> None:
    folder = tmp_path_factory.mktemp("logger")
    text = "\n".join(["Day,Low,High", *lines] if named else lines)
    (folder / "x").write_text(text, "utf-8", "replace")
    columns = LoggerColumns("Day", "Low", "Low" if several else "High", form)
    reading = read_file(WeatherFile("logger", "x", unit="C", columns=columns), folder)
    assert reading.temps is not None or reading.problems
