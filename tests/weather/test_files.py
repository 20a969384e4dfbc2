"""Files that are packed, missing, broken or no text at all: told of, never raised."""

import gzip

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.records.nursery import LoggerColumns, WeatherFile
from propagate.weather.files import read_file

ROW = "AE000041196,20190101,TMIN,140,,,S,\n"
WHOLE = gzip.compress(ROW.encode() * 5000, mtime=0)


def told_of(reading) -> str:
    assert reading.temps is None
    (problem,) = reading.problems
    return str(problem)


def test_a_packed_file_is_unpacked_whatever_its_name(read_text) -> None:
    assert read_text(gzip.compress(ROW.encode())).temps.low_c.tolist() == [14.0]


@pytest.mark.parametrize("content", [WHOLE[:60], WHOLE[:-4], WHOLE[:40] + b"\xff" * 60])
def test_a_packed_file_that_is_not_whole_is_told_of(read_text, content: bytes) -> None:
    assert told_of(read_text(content)).startswith("readings: it cannot be read: ")


def test_a_file_that_is_not_there_is_told_of(tmp_path) -> None:
    said = told_of(read_file(WeatherFile("shed", "gone.csv"), tmp_path))
    assert said == "gone.csv: it cannot be read: No such file or directory"


def test_a_folder_is_no_file(tmp_path) -> None:
    assert "it cannot be read" in told_of(read_file(WeatherFile("shed", "."), tmp_path))


def test_a_path_that_no_file_can_have_is_told_of(tmp_path) -> None:
    assert "it cannot be read" in told_of(read_file(WeatherFile("shed", "a\0b"), tmp_path))


@given(content=st.one_of(st.binary(), st.binary().map(lambda tail: WHOLE[:30] + tail)))
@pytest.mark.parametrize("columns", [None, LoggerColumns("Day", "Low", "High")])
def test_no_bytes_break_the_reader(tmp_path_factory, columns, content: bytes) -> None:
    folder = tmp_path_factory.mktemp("bytes")
    (folder / "x").write_bytes(content)
    reading = read_file(WeatherFile("shed", "x", unit="C", columns=columns), folder)
    assert reading.temps is not None or reading.problems
