"""The plan: what to start so that the beds are filled, and taking its lines up."""

import math
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from propagate.cli.beds import NOTHING_WANTED, chance_words
from propagate.cli.context import Call, json_option, output_option
from propagate.cli.counting import CountRange
from propagate.cli.group import command
from propagate.cli.say import Columns, note, say, say_json, say_text, say_written, table
from propagate.cli.words import counted
from propagate.days import written, written_short

if TYPE_CHECKING:
    from propagate.actions.desk import Desk
    from propagate.records.plans import Plan, PlanLine

NOTHING_TO_START = "Nothing need be started: every bed that wants something will have it."
SLACK = 0.0005  # a plan no dearer than this is the best there is


@command("plan")
@click.option(
    "--assume",
    "assumed",
    multiple=True,
    metavar="TEXT",
    help='What if: "half the bench", "lose K7M4", "spring 2 weeks late"; may be repeated.',
)
@click.option(
    "--accept", multiple=True, type=int, metavar="N", help="Start the batch of line N; repeatable."
)
@click.option("--on", metavar="DATE", help="With --accept: the day it was or will be started.")
@click.option("--count", type=CountRange(min=1), metavar="N", help="With --accept: so many.")
@click.option(
    "--labels",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="With --accept: print the labels into FILE.pdf or .html.",
)
@click.option("--ics", metavar="FILE", type=click.Path(path_type=Path), help="Write a calendar.")
@output_option("Print it, with its season chart, into FILE.pdf, .svg, .html or .csv.")
@json_option
@click.pass_obj
def plan_command(call: Call, /, assumed: tuple[str, ...], as_json: bool, **asked: Any) -> None:
    """Tell what to start so that the beds are filled: how many, when, where, from which mother.

    Of all starts that are in time it takes those that cost least work and risk and fit the
    bench, the mother plants and the hours a week that nursery.toml gives. When not all can be
    had, it says what is missing. With --assume the plan as it is stands beside the plan as it
    would be; the book is not touched.
    """
    desk = call.desk()
    if asked["accept"]:
        if assumed:
            raise click.UsageError("A plan that assumes something cannot be accepted.")
        _accept(call, desk, asked, as_json)
    elif asked["on"] or asked["count"] or asked["labels"]:
        raise click.UsageError("--on, --count and --labels go with --accept.")
    elif assumed:
        _compare(desk, assumed, as_json)
    else:
        _answer(desk, asked, as_json)


def _answer(desk: "Desk", asked: dict[str, Any], as_json: bool) -> None:
    from propagate.actions.planning import plan, plan_view

    answer = plan(desk, tell=_progress)
    if asked["ics"] is not None:
        from propagate.actions.calendars import write_plan_calendar

        write_plan_calendar(desk, answer, asked["ics"])
        say(f"Wrote {asked['ics']} ({counted(len(answer.lines), 'start')}).")
    if asked["path"] is not None:
        from propagate.actions.printing import print_plan

        printed = print_plan(desk, answer, asked["path"])
        say_written(printed.path, printed.notice)
    if as_json:
        say_json(plan_view(answer))
    elif asked["ics"] is None and asked["path"] is None:
        tell_plan(answer)


def _progress(text: str) -> None:
    """What is being done, for somebody who waits at a terminal."""
    if sys.stderr.isatty():
        note(f"... {text}")


def _accept(call: Call, desk: "Desk", asked: dict[str, Any], as_json: bool) -> None:
    from propagate.actions.answering import forecast
    from propagate.actions.planning import accept, plan
    from propagate.actions.views import batch_view

    answer = plan(desk, tell=_progress)
    on = call.day_ahead(asked["on"])
    codes = accept(desk, answer, asked["accept"], on, asked["count"])
    batches = forecast(desk, codes).batches
    if as_json:
        say_json([batch_view(batch) for batch in batches])
    for batch in batches if not as_json else ():
        method = batch.method.replace("-", " ")
        say(f"{batch.batch}  {batch.plant}: {batch.count} by {method}, {written(batch.started)}")
    if asked["labels"]:
        from propagate.actions.printing import print_labels

        printed = print_labels(desk, codes, asked["labels"])
        if not as_json:
            say_written(printed.path, printed.notice)
    elif not as_json:
        say(f"  labels   propagate labels {' '.join(codes)} -o labels.pdf")


def tell_plan(answer: "Plan") -> None:
    """The plan in words: its lines each with why, what is missing, and the work it is."""
    for number, line in enumerate(answer.lines, start=1):
        _tell_line(number, line)
    for missing in answer.missing:
        gap = missing.gap
        say_text(
            f"{missing.plants} {gap.plant} for {gap.beds} by {written(gap.by)}. {missing.why}",
            "not to be had: ",
        )
    for said in answer.relax:
        say_text(said, "it would do:   ")
    if not answer.lines and not answer.missing:
        say(NOTHING_TO_START if answer.filled else NOTHING_WANTED)
        return
    filled = f"; {_filled(answer.filled)} nothing more" if answer.filled else ""
    if answer.lines:
        say(f"In all {_hours(answer.hours)} of work{filled}.")
    elif answer.filled:
        say(f"{_filled(answer.filled)} nothing more.")
    if answer.above_bound > SLACK:
        say(f"A plan up to {answer.above_bound * 100:.1f} % cheaper may exist.")
    if answer.lines:
        say_text(
            "To start a line and print its labels: propagate plan --accept 1 --labels labels.pdf"
        )


def _tell_line(number: int, line: "PlanLine") -> None:
    where = f", {line.place}" if line.place else ""
    mother = f", from {line.mother} ({_mothers(line.mothers)})" if line.mother else ""
    if not line.mother and line.mothers:
        mother = f", from {_mothers(line.mothers)}"
    what = f"{line.count} {line.plant} by {line.method_name}"
    say_text(f"{written(line.start)}  {what}{where}{mother}", f"{number:>2}  ")
    say_text(
        f"{line.gap.beds} by {written(line.gap.by)}: {line.gap.short} short, {line.gives} likely "
        f"from this, {chance_words(line.chance)} sure; pot on about {written(line.pot_on)}, "
        f"ready {written(line.ready)}; {_hours(line.hours)}",
        "    for  ",
    )
    say_text(" ".join(line.why), "    why  ")


def _mothers(number: float) -> str:
    return counted(math.ceil(number), "mother plant")


def _hours(hours: float) -> str:
    return f"{hours:.1f} hours"


def _filled(count: int) -> str:
    return f"{counted(count, 'bed')} {'needs' if count == 1 else 'need'}"


def _compare(desk: "Desk", assumed: Sequence[str], as_json: bool) -> None:
    from propagate.actions.comparing import compared, comparison_view
    from propagate.actions.planning import plan

    as_it_is = plan(desk, tell=_progress)
    if_so = plan(desk, assumed, tell=_progress)
    if as_json:
        say_json(comparison_view(as_it_is, if_so))
        return
    say(f"If {'; '.join(assumed)}:")
    rows = [
        [row.beds, str(row.plant), written_short(row.by), row.before, row.after]
        for row in compared(as_it_is, if_so)
    ]
    table(Columns(["beds", "plant", "by", "as it is", "if so"], rows))
    say(f"work: {_hours(as_it_is.hours)} as it is, {_hours(if_so.hours)} if so")
    for said in if_so.relax:
        say_text(said, "it would do:   ")
