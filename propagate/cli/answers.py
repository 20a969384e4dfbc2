"""What will come, and what is due."""

from pathlib import Path

import click

from propagate.cli.context import Call, complete_batch, json_option
from propagate.cli.group import command
from propagate.cli.say import say, say_json, table
from propagate.cli.words import range_short, window_words
from propagate.days import written
from propagate.records.answers import DueTask, Forecast


@command("forecast")
@click.argument("what", nargs=-1, metavar="[BATCH|PLANT]...", shell_complete=complete_batch)
@click.option("--by", metavar="DATE", help="Plants rooted by that day; else all that will come.")
@json_option
@click.pass_obj
def forecast_command(call: Call, /, what: tuple[str, ...], by: str | None, as_json: bool) -> None:
    """How many plants will come of each batch and plant, and when to pot them on.

    Counts are a range: the truth falls between the outer numbers 8 times in 10 (or as the
    settings say). "Free" takes off what is planted, given or promised, and those that will
    not establish.
    """
    from propagate.actions.answering import forecast
    from propagate.actions.views import forecast_view

    answer = forecast(call.desk(), what, _ahead(call, by))
    if as_json:
        say_json(forecast_view(answer))
        return
    _tell(answer)


def _ahead(call: Call, by: str | None):  # type: ignore[no-untyped-def]
    """Read a day to come; one without its year is the next such day."""
    if by is None:
        return None
    from propagate.days import read_day_ahead

    return read_day_ahead(by, call.today)


def _tell(answer: Forecast) -> None:
    by = f" by {written(answer.by)}" if answer.by else ""
    table(
        ["batch", "plant", "method", "started#", f"plants{by}#", "free#", "pot on"],
        [
            [
                batch.batch,
                str(batch.plant),
                batch.method,
                str(batch.count),
                range_short(batch.plants),
                range_short(batch.free),
                window_words(batch.pot_on),
            ]
            for batch in answer.batches
        ],
    )
    say()
    table(
        ["plant", f"plants{by}#", "free for beds#"],
        [
            [str(total.plant), range_short(total.plants), range_short(total.free)]
            for total in answer.totals
        ],
    )
    if len(answer.batches) == 1:
        say()
        for reason in answer.batches[0].why:
            say(reason)


@command("due")
@click.option("--weeks", type=int, metavar="N", help="Only so far ahead; else everything.")
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
        return
    if ics is not None:
        say(f"Wrote {ics}")
        return
    if not tasks:
        say("Nothing is due." if weeks is None else f"Nothing is due within {weeks} weeks.")
    _tell_tasks(call, tasks)


def _tell_tasks(call: Call, tasks: list[DueTask]) -> None:
    rows = [
        [
            written(task.date),
            "late" if task.date < call.today else "",
            task.batch,
            str(task.plant),
            task.action,
            task.place,
            task.why,
        ]
        for task in tasks
    ]
    table(["day", "", "batch", "plant", "do", "place", "because"], rows)
