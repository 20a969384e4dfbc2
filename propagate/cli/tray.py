"""What is done at the tray: look, pot on, harden, plant out, lose, give, move, count again."""

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from propagate.cli.context import Call, complete_batch, json_option, on_option, why_option
from propagate.cli.counting import Count
from propagate.cli.group import command
from propagate.cli.say import note, say, say_json, say_text
from propagate.cli.words import accounts_words, batch_words, task_words
from propagate.days import written
from propagate.errors import Refused
from propagate.ledger import IN_TRAY
from propagate.records import events

if TYPE_CHECKING:
    from propagate.actions.desk import Desk

batch_argument = click.argument("batch", shell_complete=complete_batch)
count_argument = click.argument("count", type=Count())
from_option = click.option(
    "--from", "account", default="", metavar="ACCOUNT", help="Take them from there, e.g. waiting."
)


def _event_command(name: str, *options: Any) -> Callable[[Callable[..., events.Event]], Any]:
    """Make a command of a function from batch and options to the event it records."""

    def decorate(make: Callable[..., events.Event]) -> Any:
        def run(call: Call, /, batch: str, on: str | None, as_json: bool, **given: Any) -> None:
            desk = call.desk()
            code, entry = _record(desk, batch, call.day(on), lambda code: make(code, **given))
            _tell(desk, code, entry, as_json)

        run.__doc__ = make.__doc__
        wrapped: Any = click.pass_obj(run)
        for option in (json_option, on_option, *reversed(options), batch_argument):
            wrapped = option(wrapped)
        return command(name)(wrapped)

    return decorate


def _record(
    desk: "Desk", batch: str, on: dt.date, make: Callable[[str], events.Event]
) -> tuple[str, events.Entry]:
    """Write the event that `make` makes for the batch meant; return its code and the entry."""
    from propagate.actions.meaning import as_known, batch_meant
    from propagate.actions.recording import record

    code = batch_meant(desk, batch)
    event = as_known(desk, make(code))
    return code, record(desk, event, on, foretell=isinstance(event, events.Checked))


def _tell(desk: "Desk", code: str, entry: events.Entry, as_json: bool) -> None:
    from propagate.actions.answering import accounts_of
    from propagate.actions.telling import entry_said

    accounts = accounts_of(desk, code)
    if as_json:
        say_json({"batch": code, "accounts": accounts})
        return
    name = desk.book.batch(code).name
    say(f"{code}  {name}: {entry_said(entry)} ({written(entry.on)})")
    say_text(accounts_words(accounts), "  stands   ")
    tell_next(desk, code)
    _remark(desk, entry)


def tell_next(desk: "Desk", code: str) -> None:
    """Say what is to be done next with a batch, where there is anything."""
    from propagate.actions.answering import next_due

    task = next_due(desk, code)
    if task is not None:
        say_text(task_words(task, desk.today), "  next     ")


def _remark(desk: "Desk", entry: events.Entry) -> None:
    """Say what may be a slip, without standing in the way."""
    from propagate.actions.remarks import event_remarks

    for remark in event_remarks(desk, entry.event, entry.on):
        note(f"Note: {remark}")


@command("check")
@batch_argument
@click.option("--rooted", type=Count(), metavar="N", help="How many stand rooted in the tray now.")
@click.option("--dead", type=Count(), metavar="N", help="How many dead you take out; 0 when none.")
@click.option("--sample", type=Count(), metavar="N", help="Only so many were lifted and put back.")
@on_option
@json_option
@click.pass_obj
def check_command(call: Call, /, batch: str, on: str | None, as_json: bool, **seen: Any) -> None:
    """Look into the tray of BATCH.

    Give all that stand rooted in the tray now, found before or not, and the dead found this
    time. The rest counts as seen and not yet rooted; --dead 0 says that it is alive, too,
    which the forecast learns from. With --sample the numbers are out of so many that were
    lifted at random and put back.
    """
    from propagate.actions.answering import forecast_batch
    from propagate.actions.telling import entry_said
    from propagate.actions.views import batch_view

    desk = call.desk()
    code, entry = _record(desk, batch, call.day(on), lambda code: events.Checked(code, **seen))
    answer = forecast_batch(desk, code)
    if as_json:
        say_json(batch_view(answer))
        return
    in_tray = bool(desk.book.batch(code).total(*IN_TRAY))
    (lead, first), *rest = batch_words(
        answer, desk.library.method(answer.method).name, in_tray=in_tray
    )
    say_text(first, lead)
    say_text(f"{entry_said(entry)} ({written(entry.on)})", "  noted    ")
    for lead, text in rest:
        say_text(text, lead)
    tell_next(desk, code)
    _remark(desk, entry)


@_event_command(
    "pot-on",
    count_argument,
    click.option("--into", "container", default="", metavar="CONTAINER", help="The pot they got."),
)
def pot_on_command(code: str, count: int, container: str) -> events.Event:
    """Pot on COUNT rooted ones of BATCH.

    Those found rooted at a check go first; more than that means they were rooted too.
    """
    return events.PottedOn(code, count, container)


@_event_command("harden", count_argument)
def harden_command(code: str, count: int) -> events.Event:
    """Move COUNT potted plants of BATCH out by day, to get used to the open air."""
    return events.HardenedOff(code, count)


@_event_command("ready", count_argument)
def ready_command(code: str, count: int) -> events.Event:
    """Find COUNT plants of BATCH strong enough for a bed or a new owner."""
    return events.MadeReady(code, count)


@_event_command(
    "plant-out",
    count_argument,
    click.option("--bed", default="", metavar="BED", help="The bed they went into."),
    from_option,
)
def plant_out_command(code: str, count: int, bed: str, account: str) -> events.Event:
    """Plant out COUNT plants of BATCH; ready ones first, then hardening, potted, rooted."""
    return events.PlantedOut(code, count, bed, account)


@_event_command(
    "lose",
    count_argument,
    click.option(
        "--cause",
        "--why",
        "cause",
        default="",
        metavar="REASON",
        help="Rot, mice, drought, dropped, ...",
    ),
    from_option,
)
def lose_command(code: str, count: int, cause: str, account: str) -> events.Event:
    """Write off COUNT of BATCH; those still waiting in the tray first, then rooted, potted.

    For the dead that you find while counting a tray, use check --dead: the forecast learns
    from it. Lose is for mice, drought, a dropped tray.
    """
    return events.Lost(code, count, cause, account)


@_event_command(
    "give",
    count_argument,
    click.option("--to", default="", metavar="NAME", help="Who got them."),
    from_option,
)
def give_command(code: str, count: int, to: str, account: str) -> events.Event:
    """Give or sell COUNT plants of BATCH; a promise to the same person is redeemed."""
    return events.Given(code, count, to, account)


@_event_command(
    "promise",
    count_argument,
    click.option("--to", required=True, metavar="NAME", help="Who is to get them."),
)
def promise_command(code: str, count: int, to: str) -> events.Event:
    """Promise COUNT plants of BATCH to somebody: they are free no more."""
    return events.Promised(code, count, to)


@_event_command("offer", count_argument)
def offer_command(code: str, count: int) -> events.Event:
    """Mark COUNT plants of BATCH as for sale; 0 takes the mark off.

    What is sold comes off it. The sheets and show then say that selling may need a licence.
    """
    return events.Offered(code, count)


@command("move")
@batch_argument
@click.argument("place", default="")
@click.option("--tray", "trays", multiple=True, metavar="NAME", help="A tray; may be repeated.")
@click.option("--count", type=Count(), metavar="N", help="So many go, as a batch of their own.")
@on_option
@json_option
@click.pass_obj
def move_command(
    call: Call,
    /,
    batch: str,
    place: str,
    trays: tuple[str, ...],
    count: int | None,
    on: str | None,
    as_json: bool,
) -> None:
    """Move BATCH to PLACE, or say with --tray which trays it fills now.

    Where only a part goes, say how many with --count: they become a batch with a code of its
    own, started on the same day. Split over two trays in one place it stays one batch, with one
    code and all that was seen of it; where only one of them was looked into: check --sample.
    """
    if not place and (count is not None or not trays):
        raise Refused("PLACE is missing, or --tray NAME; write: propagate move BATCH PLACE.")
    desk, day = call.desk(), call.day(on)
    if count is not None:
        _move_part(desk, events.Moved(batch, place, trays), count, day, as_json)
        return
    _refuse_uncounted(desk, batch, place, trays)
    code, entry = _record(desk, batch, day, lambda code: events.Moved(code, place, trays))
    _tell(desk, code, entry, as_json)


def _refuse_uncounted(desk: "Desk", batch: str, place: str, trays: tuple[str, ...]) -> None:
    """Refuse to move some trays of a batch, and not all, without the number that stands there."""
    from propagate.actions.meaning import batch_meant

    code = batch_meant(desk, batch)
    here = set(desk.book.batch(code).trays)
    if place and trays and set(trays) < here:
        named = " ".join(f"--tray {tray}" for tray in trays)
        raise Refused(
            f"{code} stands in other trays, too; say how many go: "
            f"propagate move {code} {place!r} {named} --count N."
        )


def _move_part(desk: "Desk", moved: events.Moved, count: int, on: dt.date, as_json: bool) -> None:
    from propagate.actions.answering import accounts_of
    from propagate.actions.meaning import as_known, batch_meant
    from propagate.actions.parting import part, parted_said

    code = batch_meant(desk, moved.batch)
    known = as_known(desk, events.Moved(code, moved.place, moved.trays))
    assert isinstance(known, events.Moved)
    fresh = part(desk, known, count, on)
    whole, new = desk.book.batch(code), desk.book.batch(fresh)
    if as_json:
        parts = {"parted": fresh, "parted_accounts": accounts_of(desk, fresh)}
        say_json({"batch": code, "accounts": accounts_of(desk, code), **parts})
        return
    say_text(parted_said(whole, new))
    for state in (whole, new):
        say(f"{state.code}  {state.name}, {state.place}")
        say_text(accounts_words(accounts_of(desk, state.code)), "  stands   ")
    say_text(f"propagate labels {code} {fresh} -o labels.pdf", "  labels   ")


@_event_command(
    "recount",
    count_argument,
    why_option("Why the book's number was wrong."),
)
def recount_command(code: str, count: int, why: str) -> events.Event:
    """Put the book right: COUNT of BATCH are alive here, in tray and pots together.

    This is for miscounts. For plants that died, use check --dead or lose.
    """
    return events.Recounted(code, count, why)


@_event_command("sever")
def sever_command(code: str) -> events.Event:
    """Note that BATCH was cut from its mother plant."""
    return events.StepDone(code, "severed")
