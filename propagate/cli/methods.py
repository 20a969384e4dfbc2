"""Asking the method library."""

import datetime as dt

import click

from propagate.cli.context import Call, json_option
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, say_text, table
from propagate.library import Library
from propagate.records.methods import Figure, MethodRecord, Stage
from propagate.records.nursery import Nursery


@command("methods")
@click.argument("words", nargs=-1)
@click.option("--month", type=click.IntRange(1, 12), metavar="1-12", help="Taken in that month.")
@json_option
@click.pass_obj
def methods_command(
    call: Call, /, words: tuple[str, ...], month: int | None, as_json: bool
) -> None:
    """Find what the library knows about plants and methods by WORDS; one find is shown whole.

    For example: propagate methods fig; propagate methods hardwood --month 11.
    """
    from propagate.actions.asking import find_records, library_at
    from propagate.actions.views import record_view

    library, nursery = library_at(call.start)
    records = find_records(library, words, month, nursery)
    if as_json:
        say_json([record_view(record, library) for record in records])
    elif len(records) == 1:
        _card(records[0], library, nursery)
    else:
        _list(records, library, nursery)


def _list(records: tuple[MethodRecord, ...], library: Library, nursery: Nursery | None) -> None:
    if not records:
        say("Nothing is taken then.")
    wide = Columns(
        ["method", "plant", "weeks#", "take#", "months", "source"],
        [
            [
                record.method,
                _plant(record, library),
                _ends(record.weeks),
                _take(record),
                _months(record, nursery),
                record.basis,
            ]
            for record in records
        ],
    )
    narrow = Columns(
        ["method", "plant", "weeks#", "take#"],
        [
            [
                record.method,
                f"{_plant(record, library)}\n{_months(record, nursery)}; {record.basis}",
                _ends(record.weeks),
                _take(record),
            ]
            for record in records
        ],
    )
    table(wide, narrow)


def _card(record: MethodRecord, library: Library, nursery: Nursery | None) -> None:
    from propagate.names import parse

    method = library.method(record.method)
    say(f"{_plant(record, library)} — {method.name}" if record.plant else method.name)
    say_text(method.summary)
    say()
    say(f"Take     {_months(record, nursery)}; {', '.join(record.season.stages)}")
    if record.length_cm:
        say(f"Length   {_ends(record.length_cm)} cm")
    if method.depth:
        say_text(method.depth, "Depth    ")
    say_text(method.medium, "Medium   ")
    if record.hormone:
        say_text(record.hormone, "Hormone  ")
    if record.per_mother:
        say(f"Yield    {_ends(record.per_mother)} a year from one mother plant")
    say()
    for stage in record.stages:
        _stage(stage, library)
    say()
    for number, step in enumerate(method.steps, start=1):
        say_text(step, f"{number}. ")
    if record.note:
        say()
        say_text(record.note)
    cautions = library.cautions(method.id, parse(record.plant)) if record.plant else ()
    for caution in cautions:
        say()
        say_text(caution, "Caution: ")


def _stage(stage: Stage, library: Library) -> None:
    weeks = _ends((stage.weeks.low, stage.weeks.high))
    say_text(f"{weeks} weeks{_origin(stage.weeks, library)}", f"{stage.name}: ")
    if stage.take:
        ends = _ends((stage.take.low * 100, stage.take.high * 100))
        say_text(f"{ends} %{_origin(stage.take, library)}", "  take ")
    if stage.ends:
        say(f"  then {stage.ends}")


def _origin(figure: Figure, library: Library) -> str:
    """Where a figure is from: its basis, its source where that says more, and its note."""
    source = library.source_line(figure)
    named = [figure.basis, *([source] if source != figure.basis else [])]
    return f"  ({': '.join(filter(None, named))}{f'; {figure.note}' if figure.note else ''})"


def _plant(record: MethodRecord, library: Library) -> str:
    from propagate.names import parse

    if record.plant is None:
        return "(any plant)"
    common = library.common_name(parse(record.plant))
    return f"{record.plant} ({common})" if common else record.plant


def _take(record: MethodRecord) -> str:
    take = record.taking.take
    return f"{_ends((take.low * 100, take.high * 100))} %" if take else ""


def _ends(ends: tuple[float, float]) -> str:
    low, high = (f"{end:.3g}" for end in ends)
    return low if low == high else f"{low} to {high}"


def _months(record: MethodRecord, nursery: Nursery | None) -> str:
    """The months of a record's season, those in a row as one: Sep, Nov to Mar."""
    from propagate.actions.asking import months_of

    months = months_of(record, nursery)
    if set(months) == set(range(1, 13)):
        return "all year"
    firsts = [month for month in months if (month - 2) % 12 + 1 not in months]
    return ", ".join(_run(first, months) for first in firsts)


def _run(first: int, months: tuple[int, ...]) -> str:
    last = first
    while last % 12 + 1 in months:
        last = last % 12 + 1
    named = [dt.date(2000, month, 1).strftime("%b") for month in (first, last)]
    return " to ".join(dict.fromkeys(named))
