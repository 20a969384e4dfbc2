"""What the book knows of warmth and frost, and which batches stand in more cold than they bear."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from typing import Any, Final

from attrs import frozen

from propagate.actions.desk import Desk
from propagate.days import written
from propagate.errors import Problem
from propagate.planning.case import Case
from propagate.planning.warmthclocks import Clocks
from propagate.records.answers import DueTask
from propagate.records.methods import MethodRecord, Plant
from propagate.records.nursery import MonthDay
from propagate.weather.files import FileReading
from propagate.weather.frosts import FrostDates, frost_dates
from propagate.weather.places import PlaceTemps, Temperatures, read_temperatures
from propagate.weather.series import ONE_DAY

LOOK_BACK_DAYS: Final = 7
"""A cold night is warned of for a week: later it has done its harm or none (memory)."""

POT_MARGIN_C: Final = 11.0
"""Roots in a pot stand in the cold air: a plant in one is taken to bear two USDA zones less,
20 °F (common practice)."""

HARD_FROST_C: Final = -2.2
"""Above this a frost is a light one: 28 °F (United States National Weather Service; memory)."""

TO_ABOUT = re.compile(r"to about (-?[0-9]+) °C")
NO_FROST = re.compile(r"die[sd]? at (?:the first )?frost|^no frost|leaves die at 0 °C")
LIGHT_FROST = re.compile(r"light frost|at (?:a|the first) hard frost")


@frozen
class PlaceRow:
    """One place in the overview: where its temperatures are from and how far they go.

    `source` is empty where nothing was read, `ahead` where nothing is known of days to come.
    """

    place: str
    source: str
    first: dt.date | None
    last: dt.date | None
    missing_days: int
    gaps: tuple[tuple[dt.date, dt.date], ...]
    coldest_c: float | None
    ahead: str


@frozen(eq=False)
class Overview:
    """What `weather` answers: places, the open air first, files, frost dates, problems."""

    places: tuple[PlaceRow, ...]
    files: tuple[FileReading, ...]
    frosts: FrostDates | None
    problems: tuple[Problem, ...]


def temperatures(desk: Desk) -> Temperatures:
    """All temperatures that the settings of this nursery lead to, as of the desk's day."""
    return read_temperatures(desk.nursery, desk.folder, desk.today)


def clocks_of(desk: Desk, cases: Iterable[Case]) -> Clocks:
    """What makes the batches' clocks; files are read only where a record asks for warmth."""
    wanted = any(stage.clock == "warmth" for case in cases for stage in case.record.stages)
    return Clocks(temperatures(desk) if wanted else None, desk.today)


def overview(desk: Desk) -> Overview:
    """Which places have temperatures from where, with their gaps, and the frost dates."""
    temps = temperatures(desk)
    air = PlaceTemps("", air=temps.outdoors, normals=desk.nursery.weather.normals)
    known = [air, *temps.places.values()]
    frosts = temps.outdoors and frost_dates(temps.outdoors, desk.nursery.hemisphere)
    return Overview(
        places=tuple(_place_row(place, desk.today) for place in known),
        files=temps.files,
        frosts=frosts or None,
        problems=temps.problems,
    )


def _place_row(place: PlaceTemps, today: dt.date) -> PlaceRow:
    record = place.record
    gaps = tuple(record.gaps()) if record else ()
    coldest = record.coldest(record.first, record.last) if record else None
    return PlaceRow(
        place=place.place,
        source=record.source if record else "",
        first=record.first if record else None,
        last=record.last if record else None,
        missing_days=sum((ends - begins).days + 1 for begins, ends in gaps),
        gaps=gaps,
        coldest_c=coldest[1] if coldest else None,
        ahead=place.ahead(today),
    )


def cold_tasks(desk: Desk, cases: Iterable[Case], temps: Temperatures) -> list[DueTask]:
    """A job for each living batch whose place was lately colder than the batch bears.

    The minima are those logged in its place, else the open air's as felt there, since it came
    there and within the last LOOK_BACK_DAYS days.
    """
    return [task for case in cases for task in _cold_task(desk, case, temps)]


def _cold_task(desk: Desk, case: Case, temps: Temperatures) -> Iterator[DueTask]:
    state = case.state
    bears = bears_c(desk.library.plant(state.name), case.record)
    place = temps.at(state.place)
    record = place.record if place else None
    if bears is None or record is None or not state.living:
        return
    since = max(state.places[-1][0], desk.today - ONE_DAY * LOOK_BACK_DAYS)
    coldest = record.coldest(since, desk.today)
    if coldest is None or coldest[1] >= bears:
        return
    why = f"{coldest[1]:.1f} °C on {written(coldest[0])} ({record.source}); it bears {bears:g} °C"
    yield DueTask(desk.today, state.code, state.name, "shelter from the cold", why, state.place)


def bears_c(plant: Plant | None, record: MethodRecord) -> float | None:
    """The lowest temperature that plants of a batch live through [°C], None where unknown.

    It is read from the library's words on the plant's hardiness, for roots in a pot; a plant
    that may only go out after the last frost bears none, whatever its kind.
    """
    establishing = record.establishing
    if establishing is not None and establishing.gate == "frost-free":
        return 0.0
    said = plant.hardiness if plant else ""
    if about := TO_ABOUT.search(said):
        return min(0.0, float(about[1]) + POT_MARGIN_C)
    if NO_FROST.search(said):
        return 0.0
    return HARD_FROST_C if LIGHT_FROST.search(said) else None


def overview_view(answer: Overview) -> dict[str, Any]:
    """The overview as a plain dictionary for JSON."""
    return {
        "places": [_place_view(row) for row in answer.places],
        "files": [_file_view(reading) for reading in answer.files],
        "frosts": _frost_view(answer.frosts),
        "problems": [{"where": each.where, "what": each.what} for each in answer.problems],
    }


def _place_view(row: PlaceRow) -> dict[str, Any]:
    return {
        "place": row.place or None,
        "source": row.source,
        "first": row.first.isoformat() if row.first else None,
        "last": row.last.isoformat() if row.last else None,
        "missing_days": row.missing_days,
        "gaps": [[begins.isoformat(), ends.isoformat()] for begins, ends in row.gaps],
        "coldest_c": row.coldest_c,
        "ahead": row.ahead,
    }


def _file_view(reading: FileReading) -> dict[str, Any]:
    return {
        "name": reading.file.name,
        "path": reading.file.path,
        "place": reading.file.place or None,
        "days": int(reading.temps.complete.sum()) if reading.temps else 0,
        "left_out": reading.left_out,
    }


def _frost_view(frosts: FrostDates | None) -> dict[str, Any] | None:
    if frosts is None:
        return None

    def iso(days: dict[float, MonthDay | None]) -> dict[str, str | None]:
        return {f"{c:g}": f"{d[0]:02d}-{d[1]:02d}" if d else None for c, d in days.items()}

    return {
        "last": iso(frosts.last),
        "first": iso(frosts.first),
        "any_frost": frosts.any_frost,
        "winters": frosts.winters,
        "source": frosts.source,
    }
