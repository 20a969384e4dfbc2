"""Daily files of public weather stations: GHCN-Daily in each of its three shapes.

Shapes and units are those of the data set's readme (NOAA NCEI, GHCN-Daily, doi
10.7289/V5D21VHZ): temperatures in tenths of °C, -9999 where there is none, a quality flag
that is blank when the value passed every check. Only TMIN and TMAX are read. The day of an
observer who reads in the morning may be off by one; that is left as it stands.
"""

import csv
import datetime as dt
import re
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Final

from attrs import define, frozen

from propagate.errors import Refused
from propagate.records.nursery import TempUnit, WeatherFile
from propagate.weather.readings import NUMBER, Readings, to_celsius

MISSING: Final = -9999.0
ELEMENTS: Final = ("TMIN", "TMAX")

FIXED_WIDTH = re.compile(r"[A-Z0-9_-]{11}[0-9]{6}[A-Z0-9]{4}[- 0-9]")
BY_ROW = re.compile(r"[A-Z0-9_-]{11},[0-9]{8},[A-Z0-9]{4},")
FIRST_VALUE, VALUE_WIDTH = 21, 8  # columns of a fixed-width line, counted from 0
DAYS_IN_LINE: Final = 31

Lines = Iterable[tuple[int, str]]


@frozen
class Cell:
    """One value as it stands in the file; `flag` is its quality flag."""

    line: int
    station: str
    element: str
    day: dt.date
    value: str
    flag: str


def read_station(lines: Iterable[str], file: WeatherFile, readings: Readings) -> None:
    """Take a station's minima and maxima into the readings.

    Raises Refused when the file has none of the shapes, when its unit is not the one that the
    shape has, or when it holds several stations and none is chosen.
    """
    rest = enumerate(lines, start=1)
    number, head = next(((n, line) for n, line in rest if line.strip()), (0, ""))
    if not number:
        raise Refused("it is empty")
    every = chain([(number, head)], rest)
    if FIXED_WIDTH.match(head):
        cells, unit = _fixed_width(_filled(every), readings), _tenths(file)
    elif BY_ROW.match(head):
        cells, unit = _by_row(_filled(every), readings), _tenths(file)
    else:
        cells, unit = _wide((line for _, line in every), number - 1, readings), _unit_told(file)
    _Taker(readings, unit, file.station).take(cells)


def _filled(lines: Lines) -> Lines:
    return ((number, line) for number, line in lines if line.strip())


def _tenths(file: WeatherFile) -> TempUnit:
    if file.unit not in (None, "tenths of C"):
        raise Refused(f"such a file is in tenths of C by its definition, not in {file.unit}")
    return "tenths of C"


def _unit_told(file: WeatherFile) -> TempUnit:
    if file.unit is None:
        raise Refused("such a file may be in C, F or tenths of C; say which in its unit = ...")
    return file.unit


@define
class _Taker:
    """Takes cells into the readings, of one station only."""

    readings: Readings
    unit: TempUnit
    station: str

    def take(self, cells: Iterable[Cell]) -> None:
        chosen = bool(self.station)
        seen = set()
        for cell in cells:
            self.station = self.station or cell.station
            seen.add(cell.station)
            if cell.station == self.station:
                self._take(cell)
            elif not chosen:
                raise Refused(
                    f"it holds several stations, {self.station} and {cell.station}; "
                    "choose one as station = ..."
                )
        if seen and self.station not in seen:
            raise Refused(f"it has nothing of station {self.station}, but of {min(seen)}")

    def _take(self, cell: Cell) -> None:
        text = cell.value.strip()
        if not NUMBER.fullmatch(text):
            if text:
                self.readings.complain(f'"{text}" is not a temperature', cell.line)
            return
        value = float(text.replace(",", "."))
        if value == MISSING:
            return
        if cell.flag.strip():
            self.readings.left_out["failed a quality check"] += 1
            return
        take = self.readings.low if cell.element == "TMIN" else self.readings.high
        take(cell.day, to_celsius(value, self.unit), cell.line)


def _fixed_width(lines: Lines, readings: Readings) -> Iterator[Cell]:
    """A line holds a station's month of one element: 31 values, each with three flags."""
    for number, line in lines:
        element = line[17:21]
        if not FIXED_WIDTH.match(line):
            readings.complain("this is no line of a .dly file", number)
        elif element in ELEMENTS:
            for day_of_month in range(1, DAYS_IN_LINE + 1):
                at = FIRST_VALUE + VALUE_WIDTH * (day_of_month - 1)
                value, flag = line[at : at + 5], line[at + 6 : at + 7]
                if value.strip() in ("", "-9999"):
                    continue
                digits = f"{line[11:17]}{day_of_month:02d}"
                if day := _day(digits, readings, number):
                    yield Cell(number, line[:11], element, day, value, flag)


def _by_row(lines: Lines, readings: Readings) -> Iterator[Cell]:
    """A row holds one value: station, day, element, value, three flags, time of observation."""
    for number, line in lines:
        fields = line.rstrip("\r\n").split(",")
        if not BY_ROW.match(line):
            readings.complain("this is no row of a station's file", number)
        elif fields[2] in ELEMENTS:
            if len(fields) < 6:
                readings.complain("the row breaks off before its quality flag", number)
            elif day := _day(fields[1], readings, number):
                yield Cell(number, fields[0], fields[2], day, fields[3], fields[5])


def _wide(lines: Iterable[str], above: int, readings: Readings) -> Iterator[Cell]:
    """A row holds a station's day; a column ..._ATTRIBUTES has the flags with commas between.

    `above` lines of the file stand over the header.
    """
    rows = csv.reader(lines)
    header = [name.strip() for name in next(rows)]
    if not {"STATION", "DATE", *ELEMENTS} <= set(header):
        raise Refused(
            "its first line is none of a station's file; for a logger's table name the columns"
        )
    return _wide_cells(((above + rows.line_num, row) for row in rows if row), header, readings)


def _wide_cells(
    rows: Iterable[tuple[int, list[str]]], header: list[str], readings: Readings
) -> Iterator[Cell]:
    for line, row in rows:
        if len(row) != len(header):
            readings.complain(f"{len(header)} cells are wanted, not {len(row)}", line)
            continue
        cells = dict(zip(header, row, strict=True))
        day = _day(cells["DATE"].strip().replace("-", ""), readings, line)
        for element in ELEMENTS:
            flags = cells.get(f"{element}_ATTRIBUTES", "").split(",")
            if day is not None:
                flag = flags[1] if len(flags) > 1 else ""
                yield Cell(line, cells["STATION"].strip(), element, day, cells[element], flag)


def _day(digits: str, readings: Readings, line: int) -> dt.date | None:
    """The day of eight digits, None with a complaint when there is no such day."""
    try:
        if not re.fullmatch("[0-9]{8}", digits):
            raise ValueError
        return dt.date(int(digits[:4]), int(digits[4:6]), int(digits[6:]))
    except ValueError:
        readings.complain(f'"{digits}" is not a day', line)
        return None
