"""The settings file of a nursery: read strictly into a Nursery, written once by `init`."""

import datetime as dt
import json
import math
import re
from pathlib import Path
from typing import Any, cast, get_args

from propagate.errors import Refused, refuse_all
from propagate.nearness import nearest
from propagate.paths import NURSERY_FILE
from propagate.records.nursery import (
    Bed,
    Container,
    Hemisphere,
    LabelSettings,
    LoggerColumns,
    MonthDay,
    Normals,
    Nursery,
    Place,
    TempUnit,
    Weather,
    WeatherFile,
)
from propagate.tables import Table, read_table

REFUSAL = "The settings cannot be used:"
COLDEST_C = -60.0  # colder is no place for plants, but a slip
COMMON_SPREAD_C = 1.5
"""How far the mean temperature of a season strays from its normal, where no spread is given
(standard deviation in a temperate climate; memory)."""

COLDEST_AIR_C, HOTTEST_AIR_C = -90.0, 60.0  # what air on earth can be, with some room
TEMP_UNITS = get_args(TempUnit)
MONTHS = 12
COMMON_FROSTS: dict[str, dict[str, MonthDay]] = {
    "north": {
        "last_frost": (5, 10),
        "first_frost": (10, 20),
        "leaf_fall": (11, 5),
        "bud_break": (3, 25),
    },
    "south": {
        "last_frost": (11, 10),
        "first_frost": (4, 20),
        "leaf_fall": (5, 5),
        "bud_break": (9, 25),
    },
}
"""Where a grower gives no dates: a cool temperate garden (common practice)."""


def read_settings(folder: Path) -> Nursery:
    """The nursery of this folder.

    Raises Refused, naming file and key, when nursery.toml says something it cannot say.
    """
    table = read_table(folder / NURSERY_FILE, NURSERY_FILE)
    refuse_all(table.problems, REFUSAL)
    nursery = _read_nursery(table)
    refuse_all(table.problems, REFUSAL)
    return nursery


def month_day(text: str) -> MonthDay:
    """A day of any year from "MM-DD"; raises Refused for what is no such day."""
    parts = re.fullmatch(r"(\d{1,2})-(\d{1,2})", text.strip())
    try:
        if not parts:
            raise ValueError
        day = dt.date(2000, int(parts[1]), int(parts[2]))  # a leap year: 29 February is a day
    except ValueError:
        raise Refused(
            f'"{text}" is not a day of the year; write month-day, such as 05-10 for 10 May.'
        ) from None
    return day.month, day.day


def _read_nursery(table: Table) -> Nursery:
    hemisphere = table.choice("hemisphere", get_args(Hemisphere), "north")
    days = COMMON_FROSTS[hemisphere]
    name = table.text("name")
    chance = table.number("chance", 0.8)
    if not 0.5 <= chance <= 0.99:
        table.complain(f"{chance:g} is no useful chance; give one from 0.5 to 0.99", "chance")
        chance = 0.8
    places = {place.name: place for place in _read_places(table)}
    nursery = Nursery(
        name=name or "Nursery",
        hemisphere="south" if hemisphere == "south" else "north",
        last_frost=_day(table, "last_frost", days),
        first_frost=_day(table, "first_frost", days),
        leaf_fall=_day(table, "leaf_fall", days),
        bud_break=_day(table, "bud_break", days),
        chance=chance,
        check_every_weeks=_whole(table, "check_every_weeks", 4) or 4,
        places=places,
        containers={pot.name: pot for pot in _read_containers(table)},
        beds={bed.name: bed for bed in _read_beds(table)},
        labels=_read_labels(table),
        weather=_read_weather(table, places),
    )
    table.finish()
    return nursery


def _day(table: Table, key: str, defaults: dict[str, MonthDay]) -> MonthDay:
    text = table.text(key, "")
    if not text:
        return defaults[key]
    try:
        return month_day(text)
    except Refused as error:
        table.complain(str(error), key)
        return defaults[key]


def _above_zero(table: Table, key: str) -> float | None:
    """A number above 0, None when it is not given; nan and inf are complained of by the table."""
    if not table.gives(key):
        return None
    number = table.number(key)
    if number <= 0:
        table.complain(f"{number:g} is not above 0; leave it out where there is none", key)
    return number


def _whole(table: Table, key: str, default: int | None = None) -> int | None:
    """A whole number of 1 or more."""
    number = _above_zero(table, key)
    if number is None or not math.isfinite(number):
        return default
    if not number.is_integer():
        table.complain(f"{number:g} is not a whole number", key)
    return int(number)


def _section(table: Table, key: str) -> list[tuple[str, Table]]:
    """The named tables under [key.NAME], with their problems collected by the caller."""
    if not table.gives(key):
        return []
    section = table.table(key)
    inner = section.named_tables()
    table.take_over(section)
    return inner


def _read_places(table: Table) -> list[Place]:
    places = []
    for name, inner in _section(table, "places"):
        temp_c, cold = inner.pair("temp_c", None, lowest=COLDEST_C), inner.flag("cold", False)
        size_m2 = _above_zero(inner, "size_m2")
        places.append(Place(name, temp_c, cold, size_m2, inner.text("note", "")))
        _close(table, inner)
    return places


def _read_containers(table: Table) -> list[Container]:
    pots = []
    for name, inner in _section(table, "containers"):
        litres, cells = _above_zero(inner, "litres"), _whole(inner, "cells")
        pots.append(Container(name, litres, cells or 1))
        _close(table, inner)
    return pots


def _read_beds(table: Table) -> list[Bed]:
    beds = []
    for name, inner in _section(table, "beds"):
        wanted = _whole(inner, "plants_wanted")
        beds.append(Bed(name, wanted, inner.text("note", "")))
        _close(table, inner)
    return beds


def _read_labels(table: Table) -> LabelSettings:
    if not table.gives("labels"):
        return LabelSettings()
    inner = table.table("labels")
    sheet = inner.choice("sheet", ("a4", "letter"), "a4")
    labels = LabelSettings(
        format=inner.text("format", f"tray-{sheet}"),
        sheet="letter" if sheet == "letter" else "a4",
        label_url=inner.text("label_url", ""),
    )
    _close(table, inner)
    return labels


def _read_weather(table: Table, places: dict[str, Place]) -> Weather:
    if not table.gives("weather"):
        return Weather()
    inner = table.table("weather")
    weather = Weather(_read_normals(inner), _read_weather_files(inner, places))
    _close(table, inner)
    return weather


def _read_normals(table: Table) -> Normals | None:
    if not table.gives("normals"):
        return None
    inner = table.table("normals")
    low_c, high_c = _twelve(inner, "min_c"), _twelve(inner, "max_c")
    spread_c = inner.number("spread_c", COMMON_SPREAD_C)
    if spread_c < 0:
        inner.complain(f"{spread_c:g} is below 0", "spread_c")
    for month, (low, high) in enumerate(zip(low_c, high_c, strict=False), start=1):
        if low > high:
            inner.complain(f"month {month} has a minimum of {low:g} over a maximum of {high:g}")
    clean = inner.clean
    _close(table, inner)
    return Normals(low_c, high_c, spread_c) if clean else None


def _twelve(table: Table, key: str) -> tuple[float, ...]:
    """A temperature for each month, none when they are not given as they should be."""
    given = table.values.get(key)
    table.gives(key)
    if not (isinstance(given, list) and len(given) == MONTHS and all(map(_is_air_temp, given))):
        table.complain(f"a list of twelve temperatures in °C is wanted, not {given!r}", key)
        return ()
    return tuple(map(float, given))


def _is_air_temp(value: object) -> bool:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return number and COLDEST_AIR_C <= float(value) <= HOTTEST_AIR_C  # type: ignore[arg-type]


def _read_weather_files(table: Table, places: dict[str, Place]) -> dict[str, WeatherFile]:
    files = {}
    for name, inner in _section(table, "files"):
        columns, unit = _read_columns(inner), inner.choice("unit", TEMP_UNITS, "")
        if columns and not inner.gives("unit"):
            inner.complain(f"say what the readings are in: {', '.join(TEMP_UNITS)}", "unit")
        place = inner.text("place", "")
        if place and place not in places:
            near = nearest(place, places, count=1)
            offer = f'; did you mean "{near[0]}"?' if near else ""
            inner.complain(f'there is no place "{place}" in these settings{offer}', "place")
        files[name] = WeatherFile(
            name,
            inner.text("path"),
            place,
            cast(TempUnit, unit) if inner.gives("unit") else None,
            columns,
            inner.text("station", ""),
        )
        _close(table, inner)
    return files


def _read_columns(table: Table) -> LoggerColumns | None:
    """The columns of a logger's table; None where none is named, as for a station's file."""
    named = {key: table.text(key, "") for key in ("date", "min", "max", "time", "temperature")}
    given = {key for key, column in named.items() if column}
    form = table.text("day_format", "")
    if form and not _tells_days(form):
        table.complain(f'"{form}" does not give a whole day; such as %d/%m/%Y %H:%M', "day_format")
    if given == {"date", "min", "max"} and named["min"] != named["max"]:
        return LoggerColumns(named["date"], named["min"], named["max"], form)
    if given == {"time", "temperature"}:
        return LoggerColumns(named["time"], named["temperature"], named["temperature"], form)
    if given or form:
        table.complain("name the columns as date, min and max, or as time and temperature")
    return None


def _tells_days(form: str) -> bool:
    """Whether a day written in this form can be read back."""
    moment = dt.datetime(2027, 11, 25, 14, 5)
    try:
        return dt.datetime.strptime(moment.strftime(form), form).date() == moment.date()
    except ValueError:
        return False


def _close(table: Table, inner: Table) -> None:
    inner.finish()
    table.take_over(inner)


SETTINGS_TEXT = """\
# The settings of this nursery. Edit with any text editor; lines after # are remarks.
name = {name}
hemisphere = "{hemisphere}"

# Days as month-day. Frosts: when the risk has passed in spring, and when it is back.
last_frost = "{last_frost}"
first_frost = "{first_frost}"
# Between leaf fall and bud break woody plants may be lifted bare-rooted.
leaf_fall = "{leaf_fall}"
bud_break = "{bud_break}"

# The chance with which a count of plants falls inside the range that is shown.
chance = 0.8
check_every_weeks = 4

# Where batches stand. A cold place (a fridge) counts as the cold spell of seed.
[places."greenhouse bench"]
temp_c = [8, 25]
[places."cold frame"]
temp_c = [-2, 20]
[places."sand bed"]
[places."nursery bed"]
[places.fridge]
cold = true
temp_c = [2, 5]

[containers."9 cm pot"]
litres = 0.5
[containers."1 litre pot"]
litres = 1

# Beds to fill next season, for example:
# [beds."south hedge"]
# plants_wanted = 60

# Temperatures, where you have them: a logger in a place (name its columns once), a public
# weather station's daily file for the open air, the monthly normals. For example:
# [weather.files.logger]
# path = "logger.csv"
# place = "cold frame"
# unit = "C"                 # C, F or tenths of C
# time = "Date"              # or: date, min and max
# temperature = "Temp"
# [weather.files.station]
# path = "station.dly"
# [weather.normals]
# min_c = [-1, -1, 1, 4, 8, 11, 13, 13, 10, 7, 3, 0]
# max_c = [4, 5, 9, 13, 18, 21, 23, 23, 19, 14, 8, 5]
# spread_c = 1.5

[labels]
sheet = "{sheet}"          # a4 or letter
# label_url = "HTTP://BENCH.LOCAL/T/"   # put before the code in the QR square
"""


def settings_text(name: str, hemisphere: str, sheet: str = "a4", **days: MonthDay | None) -> str:
    """The text of a new nursery.toml; days not given are the hemisphere's common ones."""
    chosen: dict[str, Any] = dict(COMMON_FROSTS[hemisphere])
    chosen.update({key: day for key, day in days.items() if day is not None})
    written = {key: f"{month:02d}-{day:02d}" for key, (month, day) in chosen.items()}
    # A basic string of TOML is a JSON string, but for the one control character JSON leaves.
    # What is no character (a folder name in another encoding) becomes a question mark.
    name = name.encode("utf-8", "replace").decode("utf-8")
    quoted = json.dumps(name, ensure_ascii=False).replace("\x7f", "\\u007f")
    return SETTINGS_TEXT.format(name=quoted, hemisphere=hemisphere, sheet=sheet, **written)
