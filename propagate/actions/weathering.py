"""What the book knows of warmth and frost."""

import datetime as dt
from collections.abc import Iterable
from typing import Any

from attrs import asdict, frozen

from propagate.actions.desk import Desk
from propagate.errors import Problem
from propagate.planning.case import Case
from propagate.planning.warmthclocks import Clocks
from propagate.records.nursery import MonthDay, Nursery
from propagate.science.chill import ChillSum, chill_sum
from propagate.science.seasons import into_season, last_on
from propagate.weather.files import FileReading
from propagate.weather.frosts import FrostDates, frost_dates, safe_days
from propagate.weather.places import PlaceTemps, Temperatures
from propagate.weather.series import DailyTemps


@frozen
class PlaceRow:
    """One place in the overview: where its temperatures are from and how far they go.

    `source` is empty where nothing was read, `ahead` where nothing is known of days to come.
    `chill` is what came together in the latest season of cold, None where nothing was read.
    """

    place: str
    source: str
    first: dt.date | None
    last: dt.date | None
    missing_days: int
    gaps: tuple[tuple[dt.date, dt.date], ...]
    coldest_c: float | None
    ahead: str
    chill: ChillSum | None


@frozen
class FrostFree:
    """The days between which tender plants go out: first, last, and the chance of frost borne.

    `recorded` is False where they are the settings' own days.
    """

    first: MonthDay
    last: MonthDay
    risk: float | None
    recorded: bool


@frozen(eq=False)
class Overview:
    """What `weather` answers: places, the open air first, files, frost dates, problems.

    `chill_season` is the first and last day of the cold that is told: from leaf fall to bud
    break, as far as it has come.
    """

    places: tuple[PlaceRow, ...]
    chill_season: tuple[dt.date, dt.date]
    season: FrostFree
    files: tuple[FileReading, ...]
    frosts: FrostDates | None
    problems: tuple[Problem, ...]


def temperatures(desk: Desk) -> Temperatures:
    """All temperatures that the settings of this nursery lead to, as of the desk's day."""
    return desk.temperatures


def clocks_of(desk: Desk, cases: Iterable[Case]) -> Clocks:
    """What makes the batches' clocks; files are read only where a record asks for warmth."""
    wanted = any(stage.clock == "warmth" for case in cases for stage in case.record.stages)
    return Clocks(temperatures(desk) if wanted else None, desk.today)


def every_clock(desk: Desk) -> Clocks:
    """What makes clocks of warmth and chill, from all that the settings lead to."""
    return Clocks(temperatures(desk), desk.today)


def overview(desk: Desk) -> Overview:
    """Which places have temperatures from where, with their gaps, and the frost dates."""
    temps = temperatures(desk)
    air = PlaceTemps("", air=temps.outdoors, normals=desk.nursery.weather.normals)
    known = [air, *temps.places.values()]
    frosts = temps.outdoors and frost_dates(temps.outdoors, desk.nursery.hemisphere)
    leaf_fall = last_on(desk.today, desk.nursery.leaf_fall)
    bud_break = into_season(leaf_fall, desk.nursery.bud_break, desk.nursery.bud_break)
    cold = leaf_fall, min(bud_break, desk.today)
    return Overview(
        places=tuple(_place_row(place, desk.today, cold) for place in known),
        chill_season=cold,
        files=temps.files,
        season=_season(desk.nursery, temps.outdoors),
        frosts=frosts or None,
        problems=temps.problems,
    )


def _season(nursery: Nursery, outdoors: DailyTemps | None) -> FrostFree:
    risk = nursery.frost_risk
    recorded = bool(risk and outdoors and safe_days(outdoors, nursery.hemisphere, risk))
    return FrostFree(nursery.last_frost, nursery.first_frost, risk, recorded)


def _place_row(place: PlaceTemps, today: dt.date, cold: tuple[dt.date, dt.date]) -> PlaceRow:
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
        chill=_chill(record, *cold) if record else None,
    )


def _chill(record: DailyTemps, first: dt.date, last: dt.date) -> ChillSum | None:
    summed = chill_sum(*record.between(first, (last - first).days + 1))
    return summed if summed.read else None


def overview_view(answer: Overview) -> dict[str, Any]:
    """The overview as a plain dictionary for JSON."""
    return {
        "places": [_place_view(row) for row in answer.places],
        "chill_season": [day.isoformat() for day in answer.chill_season],
        "files": [_file_view(reading) for reading in answer.files],
        "frosts": _frost_view(answer.frosts),
        "frost_free": {
            "first": _month_day(answer.season.first),
            "last": _month_day(answer.season.last),
            "risk": answer.season.risk,
            "recorded": answer.season.recorded,
        },
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
        "chill": asdict(row.chill) if row.chill else None,
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
        return {f"{chance:g}": _month_day(day) for chance, day in days.items()}

    return {
        "last": iso(frosts.last),
        "first": iso(frosts.first),
        "any_frost": frosts.any_frost,
        "winters": frosts.winters,
        "source": frosts.source,
    }


def _month_day(day: MonthDay | None) -> str | None:
    return f"{day[0]:02d}-{day[1]:02d}" if day else None
