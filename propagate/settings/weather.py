"""The section [weather] of the settings: normals, loggers and station files."""

import datetime as dt
from typing import cast, get_args

from propagate.nearness import nearest
from propagate.records.nursery import LoggerColumns, Normals, Place, TempUnit, Weather, WeatherFile
from propagate.settings.values import close, section
from propagate.tables import Table
from propagate.worded import worded

COMMON_SPREAD_C = 1.5
"""How far the mean temperature of a season strays from its normal, where no spread is given
(standard deviation in a temperate climate; memory)."""

COLDEST_AIR_C, HOTTEST_AIR_C = -90.0, 60.0  # what air on earth can be, with some room
TEMP_UNITS = get_args(TempUnit)
MONTHS = 12


def read_weather(table: Table, places: dict[str, Place]) -> Weather:
    """Where the temperatures come from; nowhere when the section is not there."""
    if not table.gives("weather"):
        return Weather()
    inner = table.table("weather")
    weather = Weather(_read_normals(inner), _read_weather_files(inner, places))
    close(table, inner)
    return weather


def _read_normals(table: Table) -> Normals | None:
    if not table.gives("normals"):
        return None
    inner = table.table("normals")
    low_c, high_c = _twelve(inner, "min_c"), _twelve(inner, "max_c")
    spread_c = inner.number("spread_c", COMMON_SPREAD_C)
    if spread_c < 0:
        inner.complain(
            worded("{number:g} is below {lowest:g}", number=spread_c, lowest=0), "spread_c"
        )
    for month, (low, high) in enumerate(zip(low_c, high_c, strict=False), start=1):
        if low > high:
            inner.complain(
                worded(
                    "month {month} has a minimum of {low:g} over a maximum of {high:g}",
                    month=month,
                    low=low,
                    high=high,
                )
            )
    clean = inner.clean
    close(table, inner)
    return Normals(low_c, high_c, spread_c) if clean else None


def _twelve(table: Table, key: str) -> tuple[float, ...]:
    """A temperature for each month, none when they are not given as they should be."""
    given = table.values.get(key)
    table.gives(key)
    if not (isinstance(given, list) and len(given) == MONTHS and all(map(_is_air_temp, given))):
        table.complain(
            worded("a list of twelve temperatures in °C is wanted, not {given!r}", given=given), key
        )
        return ()
    return tuple(map(float, given))


def _is_air_temp(value: object) -> bool:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return number and COLDEST_AIR_C <= float(value) <= HOTTEST_AIR_C  # type: ignore[arg-type]


def _read_weather_files(table: Table, places: dict[str, Place]) -> dict[str, WeatherFile]:
    files = {}
    for name, inner in section(table, "files"):
        columns, unit = _read_columns(inner), inner.choice("unit", TEMP_UNITS, "")
        if columns and not inner.gives("unit"):
            inner.complain(
                worded("say what the readings are in: {units}", units=", ".join(TEMP_UNITS)), "unit"
            )
        place = inner.text("place", "")
        if place and place not in places:
            near = nearest(place, places, count=1)
            what = worded('there is no place "{place}" in these settings', place=place)
            if near:
                what = worded('{what}; did you mean "{near}"?', what=what, near=near[0])
            inner.complain(what, "place")
        files[name] = WeatherFile(
            name,
            inner.text("path"),
            place,
            cast(TempUnit, unit) if inner.gives("unit") else None,
            columns,
            inner.text("station", ""),
        )
        close(table, inner)
    return files


def _read_columns(table: Table) -> LoggerColumns | None:
    """The columns of a logger's table; None where none is named, as for a station's file."""
    named = {key: table.text(key, "") for key in ("date", "min", "max", "time", "temperature")}
    given = {key for key, column in named.items() if column}
    form = table.text("day_format", "")
    if form and not _tells_days(form):
        table.complain(
            worded('"{form}" does not give a whole day; such as %d/%m/%Y %H:%M', form=form),
            "day_format",
        )
    if given == {"date", "min", "max"} and named["min"] != named["max"]:
        return LoggerColumns(named["date"], named["min"], named["max"], form)
    if given == {"time", "temperature"}:
        return LoggerColumns(named["time"], named["temperature"], named["temperature"], form)
    if given or form:
        table.complain(worded("name the columns as date, min and max, or as time and temperature"))
    return None


def _tells_days(form: str) -> bool:
    """Whether a day written in this form can be read back."""
    moment = dt.datetime(2027, 11, 25, 14, 5)
    try:
        return dt.datetime.strptime(moment.strftime(form), form).date() == moment.date()
    except ValueError:
        return False
