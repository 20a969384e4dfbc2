"""What will come, and what is due."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from propagate.cli.context import Call, complete_batch, json_option, output_option
from propagate.cli.counting import CountRange
from propagate.cli.group import command
from propagate.cli.say import Columns, note, say, say_json, say_written, table
from propagate.cli.words import (
    NO_BATCH,
    counted,
    range_short,
    range_tight,
    window_short,
    window_stacked,
)
from propagate.days import written
from propagate.ledger import IN_TRAY, Book
from propagate.records.answers import DueTask, Forecast
from propagate.spans import whole_parts

if TYPE_CHECKING:
    from propagate.actions.desk import Desk


@command("forecast")
@click.argument("what", nargs=-1, metavar="[BATCH|PLANT]...", shell_complete=complete_batch)
@click.option("--by", metavar="DATE", help="Plants rooted by that day; else all that will come.")
@click.option(
    "--why",
    metavar="BATCH",
    shell_complete=complete_batch,
    help="What one batch's answer rests on, drawn.",
)
@output_option("Draw one batch or plant, week by week, into FILE.svg, .pdf, .html or .csv.")
@click.option("--record", is_flag=True, help="How good these answers have been so far.")
@json_option
@click.pass_obj
def forecast_command(
    call: Call, /, what: tuple[str, ...], by: str | None, as_json: bool, **asked: Any
) -> None:
    """How many plants will come of each batch and plant, and when to pot them on.

    Counts are low – likely – high: the truth falls between the outer numbers 8 times in 10
    (or as the settings say). "Free" takes off what is planted, given or promised, and those
    that will not establish.
    """
    if asked["record"]:
        if by:
            raise click.UsageError("--record looks back on what came; leave out --by.")
        _tell_record(call, what, as_json)
    elif asked["why"]:
        _tell_why(call, asked["why"])
    elif asked["path"]:
        _draw(call, what, by, asked["path"])
    else:
        _foretell(call, what, by, as_json)


def _foretell(call: Call, what: tuple[str, ...], by: str | None, as_json: bool) -> None:
    from propagate.actions.answering import forecast
    from propagate.actions.views import forecast_view

    desk = call.desk()
    answer = forecast(desk, what, call.day_ahead(by), last=True)
    if as_json:
        say_json(forecast_view(answer))
    elif answer.batches:
        _tell(answer, desk.book)
    else:
        say(NO_BATCH)
    if not as_json:
        _note_gone(answer.by, answer.as_of)


def _note_gone(by: dt.date | None, today: dt.date) -> None:
    """Say what the counts are where the day asked for has gone by."""
    if by is not None and by < today:
        note(f"Note: {written(by)} has gone by; the counts are what stands rooted today.")


def _tell_nothing(later: list[DueTask], weeks: int | None) -> None:
    """Say that nothing is due, and where it is so for some weeks only, when something is."""
    if weeks is None:
        say("Nothing is due.")
        return
    after = f"; the next job is of {written(later[0].date)}" if later else ""
    say(f"Nothing is due in {counted(weeks, 'week')}{after}.")


def _tell_why(call: Call, batch: str) -> None:
    from propagate.actions.answering import fan, reasons
    from propagate.cli.sparks import tell_fan
    from propagate.cli.why import tell_why

    desk = call.desk()
    tell_why(reasons(desk, batch))
    tell_fan(fan(desk, [batch]))


def _draw(call: Call, what: tuple[str, ...], by: str | None, path: Path) -> None:
    from propagate.actions.printing import print_fan

    day = call.day_ahead(by)
    printed = print_fan(call.desk(), what, path, day)
    say_written(printed.path, printed.notice)
    _note_gone(day, call.today)


def _tell_record(call: Call, what: tuple[str, ...], as_json: bool) -> None:
    from propagate.actions.scoring import track_record, track_record_view
    from propagate.cli.records import tell_record

    judged = track_record(call.desk(), what)
    if as_json:
        say_json(track_record_view(judged))
    else:
        tell_record(judged)


def _tell(answer: Forecast, book: Book) -> None:
    by = f" by {written(answer.by)}" if answer.by else ""
    _tell_batches(answer, book, by)
    say()
    rows = [
        [str(total.plant), range_short(total.plants), range_short(total.free)]
        for total in answer.totals
    ]
    table(
        Columns(["plant", f"plants{by}#", "free for beds then#" if by else "free for beds#"], rows)
    )
    if len(answer.batches) == 1:
        say()
        if answer.by:
            say(_stands(answer))
        for reason in answer.batches[0].why:
            say(reason)


def _stands(answer: Forecast) -> str:
    """Where a batch's propagules are expected to stand on the day asked for."""
    expected = answer.batches[0].expected
    counts = zip(whole_parts([*expected.values()]), expected, strict=True)
    told = ", ".join(f"{count} {account}" for count, account in counts if count)
    return f"Expected by {written(answer.by or answer.as_of)}: {told}."


def _tell_batches(answer: Forecast, book: Book, by: str) -> None:
    in_tray = {row.batch: book.batch(row.batch).total(*IN_TRAY) for row in answer.batches}
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
                window_short(batch.pot_on) if in_tray[batch.batch] else "",
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
                window_stacked(batch.pot_on) if in_tray[batch.batch] else "",
            ]
            for batch in answer.batches
        ],
    )
    table(wide, narrow)


@command("due")
@click.option(
    "--weeks", type=CountRange(min=0), metavar="N", help="Only so far ahead; else everything."
)
@click.option("--ics", metavar="FILE", type=click.Path(path_type=Path), help="Write a calendar.")
@json_option
@click.pass_obj
def due_command(call: Call, /, weeks: int | None, ics: Path | None, as_json: bool) -> None:
    """What is to be done, soonest first, each with its reason."""
    from propagate.actions.answering import due
    from propagate.actions.views import task_view

    desk = call.desk()
    tasks = due(desk, weeks, last=True)
    if ics is not None:
        from propagate.actions.calendars import write_calendar

        write_calendar(desk, tasks, ics)
    if as_json:
        say_json([task_view(task) for task in tasks])
    elif ics is not None:
        say(f"Wrote {ics} ({counted(len(tasks), 'job')}).")
    elif tasks:
        _tell_tasks(call, tasks)
    elif not desk.book.batches:
        say(NO_BATCH)
    else:
        _tell_nothing(due(desk), weeks)
    if not as_json:
        _remind(desk)


def _remind(desk: "Desk") -> None:
    """Say that a merge left questions, until they are settled."""
    from propagate.actions.merging import questions

    count = len(questions(desk.book))
    if count:
        said = "One question of a merge is" if count == 1 else f"{count} questions of a merge are"
        note(f"{said} open; see: propagate settle")


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
