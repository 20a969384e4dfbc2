"""Bench space: what each place will hold, week by week of the year to come."""

import shutil
import sys
from pathlib import Path
from typing import Any

import click

from propagate.cli.context import Call, json_option, output_option
from propagate.cli.group import command
from propagate.cli.materials import planned_option
from propagate.cli.say import Columns, say, say_json, say_text, say_written, table
from propagate.cli.sparks import RISING, TENTHS, can_draw
from propagate.days import written
from propagate.records.space import BenchSpace, PlaceSpace

NOTHING = "Nothing stands on any bench in the coming year."


@command("bench")
@click.argument("places", nargs=-1, metavar="[PLACE]...")
@planned_option("A start you plan, to be reckoned in; may be given several times.")
@click.option("--at", metavar="PLACE", default="", help="Where planned starts will stand.")
@click.option("--into", metavar="CONTAINER", default="", help="What planned starts are set into.")
@output_option("Draw it into FILE.svg, .pdf, .html, or write its figures as .csv.")
@json_option
@click.pass_obj
def bench_command(call: Call, /, places: tuple[str, ...], as_json: bool, **asked: Any) -> None:
    """What each place will hold over the coming year, against the bench it has.

    Trays stand until they are potted on in their window; then pots, until the plants are
    established and may go out. "Up to" is passed once in ten. Say how large a place is with
    size_m2 in nursery.toml, and where its plants go once potted with pots_to.
    """
    from propagate.actions.benches import bench, bench_view, print_bench
    from propagate.actions.planned import planned_starts

    desk = call.desk()
    planned = planned_starts(desk, asked["planned"], asked["into"], asked["at"])
    answer = bench(desk, places, planned)
    path: Path | None = asked["path"]
    if path is not None:
        done = print_bench(desk, answer, path)
        say_written(done.path, done.notice)
    elif as_json:
        say_json(bench_view(answer))
    elif answer.places:
        _tell(answer)
    else:
        say(NOTHING)


def _tell(answer: BenchSpace) -> None:
    rows = [_row(space) for space in answer.places]
    table(Columns(["place", "m²#", "now#", "fullest#", "up to#", "in the week from"], rows))
    say()
    widest = max(len(space.place) for space in answer.places)
    weeks = len(answer.places[0].weeks)
    room = shutil.get_terminal_size().columns - widest - 2 if sys.stdout.isatty() else weeks
    apart = max(1, -(-weeks // max(room, 1)))  # weeks in a mark, so that a line holds the year
    for space in answer.places:
        say(f"{space.place.ljust(widest)}  {strip(space, fancy=can_draw(), apart=apart)}")
    first, last = answer.places[0].weeks[0].date, answer.places[0].weeks[-1].date
    full = "█" if can_draw() else "9"
    mark = "a week" if apart == 1 else f"for the fullest of {apart} weeks"
    say_text(
        f"a mark {mark}, {written(first)} to {written(last)}; {full} is full, "
        f"! may be overfull; without a size, {full} is the fullest week",
        f"{' ' * widest}  ",
    )
    for space in answer.places:
        _tell_overfull(space)


def _row(space: PlaceSpace) -> list[str]:
    fullest = space.fullest
    return [
        space.place,
        "" if space.size_m2 is None else f"{space.size_m2:g}",
        f"{space.weeks[0].expected_m2:.1f}",
        f"{fullest.expected_m2:.1f}",
        f"{fullest.high_m2:.1f}",
        written(fullest.date),
    ]


def strip(space: PlaceSpace, *, fancy: bool = False, apart: int = 1) -> str:
    """The year in a line: how full the place is each week, ! where it may be overfull.

    With `apart` above 1 a mark stands for so many weeks, and for the fullest of them.
    """
    weeks = [
        max(space.weeks[at : at + apart], key=lambda week: week.high_m2)
        for at in range(0, len(space.weeks), apart)
    ]
    marks = RISING if fancy else TENTHS
    most = space.size_m2 or space.fullest.expected_m2
    return "".join(
        "!"
        if space.size_m2 is not None and week.high_m2 > space.size_m2
        else " "
        if week.expected_m2 < most / 100
        else marks[min(int(len(marks) * week.expected_m2 / most), len(marks) - 1)]
        for week in weeks
    )


def _tell_overfull(space: PlaceSpace) -> None:
    week = space.overfull
    if week is None:
        return
    say()
    small = "is" if space.size_m2 and week.expected_m2 > space.size_m2 else "may be"
    say_text(
        f"{space.place} {small} too small from {written(week.date)}: {week.expected_m2:.1f} m² "
        f"expected, up to {week.high_m2:.1f}, of {space.size_m2:g}. In its fullest week it holds:"
    )
    rows = [
        [part.batch, str(part.plant), f"{part.now_m2:.2f}", f"{part.fullest_m2:.2f}"]
        for part in space.batches
    ]
    table(Columns(["batch", "plant", "m² now#", "then#"], rows))
