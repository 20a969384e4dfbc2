"""What will come, and what is due."""

from pathlib import Path

import click

from propagate.cli.context import Call, complete_batch, json_option
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, table
from propagate.cli.words import (
    NO_BATCH,
    counted,
    range_short,
    range_tight,
    window_short,
    window_stacked,
)
from propagate.days import written
from propagate.records.answers import DueTask, Forecast


@command("forecast")
@click.argument("what", nargs=-1, metavar="[BATCH|PLANT]...", shell_complete=complete_batch)
@click.option("--by", metavar="DATE", help="Plants rooted by that day; else all that will come.")
@json_option
@click.pass_obj
def forecast_command(call: Call, /, what: tuple[str, ...], by: str | None, as_json: bool) -> None:
    """How many plants will come of each batch and plant, and when to pot them on.

    Counts are low – likely – high: the truth falls between the outer numbers 8 times in 10
    (or as the settings say). "Free" takes off what is planted, given or promised, and those
    that will not establish.
    """
    from propagate.actions.answering import forecast
    from propagate.actions.views import forecast_view

    answer = forecast(call.desk(), what, call.day_ahead(by))
    if as_json:
        say_json(forecast_view(answer))
    elif answer.batches:
        _tell(answer)
    else:
        say(NO_BATCH)


def _tell(answer: Forecast) -> None:
    by = f" by {written(answer.by)}" if answer.by else ""
    _tell_batches(answer, by)
    say()
    rows = [
        [str(total.plant), range_short(total.plants), range_short(total.free)]
        for total in answer.totals
    ]
    table(Columns(["plant", f"plants{by}#", "free for beds#"], rows))
    if len(answer.batches) == 1:
        say()
        for reason in answer.batches[0].why:
            say(reason)


def _tell_batches(answer: Forecast, by: str) -> None:
    wide = Columns(
        ["batch", "plant", "method", "started#", f"plants{by}#", "free#", "pot on"],
        [
            [
                batch.batch,
                str(batch.plant),
                batch.method,
                str(batch.count),
                range_short(batch.plants),
                range_short(batch.free),
                window_short(batch.pot_on),
            ]
            for batch in answer.batches
        ],
    )
    narrow = Columns(
        ["batch", "plant", "plants#", "free#", "pot on"],
        [
            [
                batch.batch,
                f"{batch.plant}\n{batch.count} by {batch.method}",
                range_tight(batch.plants),
                range_tight(batch.free),
                window_stacked(batch.pot_on),
            ]
            for batch in answer.batches
        ],
    )
    table(wide, narrow)


@command("due")
@click.option(
    "--weeks", type=click.IntRange(min=0), metavar="N", help="Only so far ahead; else everything."
)
@click.option("--ics", metavar="FILE", type=click.Path(path_type=Path), help="Write a calendar.")
@json_option
@click.pass_obj
def due_command(call: Call, /, weeks: int | None, ics: Path | None, as_json: bool) -> None:
    """What is to be done, soonest first, each with its reason."""
    from propagate.actions.answering import due
    from propagate.actions.views import task_view

    desk = call.desk()
    tasks = due(desk, weeks)
    if ics is not None:
        from propagate.actions.calendars import write_calendar

        write_calendar(desk, tasks, ics)
    if as_json:
        say_json([task_view(task) for task in tasks])
    elif ics is not None:
        say(f"Wrote {ics} ({counted(len(tasks), 'job')}).")
    elif tasks:
        _tell_tasks(call, tasks)
    else:
        say("Nothing is due." if weeks is None else f"Nothing is due in {counted(weeks, 'week')}.")


def _tell_tasks(call: Call, tasks: list[DueTask]) -> None:
    def opening(task: DueTask) -> list[str]:
        return [written(task.date), "late" if task.is_late(call.today) else "", task.batch]

    wide = Columns(
        ["day", "", "batch", "plant", "do", "place", "because"],
        [[*opening(t), str(t.plant), t.action, t.place, t.why] for t in tasks],
    )
    narrow = Columns(
        ["day", "", "batch", "do"],
        [[*opening(task), _stacked(task)] for task in tasks],
    )
    table(wide, narrow)


def _stacked(task: DueTask) -> str:
    place = f"{task.place}: " if task.place else ""
    return f"{task.action}: {task.plant}\n{place}{task.why}"
