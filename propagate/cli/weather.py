"""What the book knows of temperatures: places, gaps, frost dates, and whether files are sound."""

import datetime as dt

import click

from propagate.actions.weathering import FrostFree, Overview, PlaceRow, overview, overview_view
from propagate.cli.context import Call, json_option
from propagate.cli.group import command
from propagate.cli.say import Columns, note, say, say_json, table
from propagate.cli.words import counted, span_words
from propagate.days import written, written_short
from propagate.records.nursery import MonthDay
from propagate.science.chill import ChillSum
from propagate.weather.frosts import FrostDates

OPEN_AIR = "(open air)"
HOW_TO_GIVE = (
    "nursery.toml says how to give a place's range, a logger's or a station's file, or the "
    "monthly normals."
)


@command("weather")
@json_option
@click.pass_obj
def weather_command(call: Call, /, as_json: bool) -> None:
    """Which places have temperatures, from where, with what gaps; cold so far; frost dates.

    Days without a reading are never filled in: they are counted here, and where the warmth of
    a day is needed they are taken from the other years or the normals.
    """
    answer = overview(call.desk())
    if as_json:
        say_json(overview_view(answer))
        return
    if any(row.source or row.ahead for row in answer.places):
        _tell_places(answer)
        if not answer.files and not answer.places[0].ahead:  # of the open air nothing is known
            note(HOW_TO_GIVE)
    else:
        say(f"No temperatures are known here; stages run by the calendar. {HOW_TO_GIVE}")
    _tell_files(answer)
    _tell_chill(answer)
    if answer.frosts:
        say()
        _tell_frosts(answer.frosts)
    if answer.frosts or answer.season.risk is not None:
        say()
        _tell_season(answer.season)
    for problem in answer.problems:
        note(str(problem))


def _tell_places(answer: Overview) -> None:
    rows = [
        [
            row.place or OPEN_AIR,
            row.source,
            span_words(row.first, row.last) if row.first and row.last else "",
            _missing(row),
            f"{row.coldest_c:.1f}" if row.coldest_c is not None else "",
            row.ahead or "by the calendar",
        ]
        for row in answer.places
    ]
    headings = ["place", "read by", "days", "without a reading", "coldest °C#", "days to come"]
    narrow = [[row[0], f"{row[1]}\n{row[2]}", row[5]] for row in rows]
    table(Columns(headings, rows), Columns(["place", "read by", "days to come"], narrow))


def _missing(row: PlaceRow) -> str:
    if not row.gaps:
        return ""
    longest = max(row.gaps, key=lambda gap: gap[1] - gap[0])
    days = counted(row.missing_days, "day")
    if longest[0] == longest[1]:
        return days
    return f"{days}, longest {written(longest[0])} to {written(longest[1])}"


def _tell_files(answer: Overview) -> None:
    rows = [
        [
            reading.file.name,
            reading.file.path,
            str(int(reading.temps.complete.sum())) if reading.temps else "0",
            ", ".join(f"{count} {why}" for why, count in sorted(reading.left_out.items())),
        ]
        for reading in answer.files
    ]
    if rows:
        say()
        table(Columns(["file", "path", "whole days#", "left out"], rows))


def _tell_chill(answer: Overview) -> None:
    """The cold that has come together since leaf fall, in each way of counting it."""
    alike: dict[ChillSum, list[str]] = {}
    for row in answer.places:
        if row.chill:
            alike.setdefault(row.chill, []).append(row.place or OPEN_AIR)
    rows = [
        [
            ", ".join(places),
            *(f"{part:.0f}" for part in (chill.days, chill.hours, chill.utah, chill.portions)),
            counted(chill.read, "day"),
        ]
        for chill, places in alike.items()
    ]
    if rows:
        say()
        first, last = (written(day) for day in answer.chill_season)
        say(f"Cold from leaf fall on, {first} to {last}:")
        headings = ["place", "days of 0 to 7.2 °C#", "hours below 7.2 °C#", "Utah units#"]
        table(Columns([*headings, "portions#", "read"], rows))


def _tell_frosts(frosts: FrostDates) -> None:
    say(f"Frosts of {counted(frosts.winters, 'winter')} ({frosts.source}):")
    for chance, later in frosts.last.items():
        earlier = frosts.first[chance]
        say(
            f"  {counted(round(chance * 10), 'time')} in 10 the last frost comes after "
            f"{_day_words(later)}, the first before {_day_words(earlier)}"
        )


def _tell_season(season: FrostFree) -> None:
    """Between which days tender plants are put out, and why these."""
    days = f"Tender plants go out from {_day_words(season.first)} to {_day_words(season.last)}"
    if season.risk is None:
        say(f"{days}, the frost days of nursery.toml.")
    elif season.recorded:
        say(f"{days}: a frost then has {season.risk * 100:g} chances in 100 at most.")
    else:
        say(f"{days}, the frost days of nursery.toml; frost_risk needs five whole winters")
        say("of the open air on record, and frost in more of them than it allows.")


def _day_words(day: MonthDay | None) -> str:
    return written_short(dt.date(2000, *day)) if day else "no day of the year"
