"""Looking into the book, and taking entries back."""

from typing import TYPE_CHECKING

import click

from propagate.cli.context import Call, complete_batch, json_option, why_option
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, say_text, table
from propagate.cli.tray import tell_next
from propagate.cli.words import (
    NO_BATCH,
    accounts_words,
    batch_words,
    counted,
    doubt_words,
    range_short,
    span_words,
    who_wrote,
    window_short,
)
from propagate.days import written
from propagate.ledger import IN_TRAY, BatchState, Kind
from propagate.records.answers import BatchForecast
from propagate.records.rights import rights_said

if TYPE_CHECKING:
    from propagate.actions.desk import Desk

Standing = tuple[BatchForecast, BatchState]
MOST_CODES = 2


@command("show")
@click.argument("what", nargs=-1, metavar="[BATCH|TRAY|PLANT]...", shell_complete=complete_batch)
@json_option
@click.pass_obj
def show_command(call: Call, /, what: tuple[str, ...], as_json: bool) -> None:
    """Show what stands in a batch, a tray, of a plant, or everywhere."""
    from propagate.actions.answering import forecast
    from propagate.actions.rights import protection
    from propagate.actions.views import batch_view, state_view

    desk = call.desk()
    is_protected = protection(desk)
    found = [(answer, desk.book.batch(answer.batch)) for answer in forecast(desk, what).batches]
    if as_json:
        say_json(
            [
                {
                    **batch_view(answer),
                    **state_view(state),
                    "protected": is_protected(state.name),
                }
                for answer, state in found
            ]
        )
    elif len(found) == 1:
        answer, state = found[0]
        _card(answer, state, desk.library.method(answer.method).name)
        tell_next(desk, state.code)
        for word, text in rights_said(protected=is_protected(state.name), for_sale=state.for_sale):
            say_text(text, f"  {word:8} ")
        if state.total(Kind.WAITING):
            _tell_spark(desk, answer.batch)
    elif found:
        _list(found)
    else:
        say(NO_BATCH)


def _card(answer: BatchForecast, state: BatchState, method_name: str) -> None:
    in_tray = bool(state.total(*IN_TRAY))
    (lead, first), *rest = batch_words(answer, method_name, in_tray=in_tray)
    say_text(first, lead)
    started = state.started
    promised = [f"{count} to {to}" for to, count in state.promised.items() if count]
    for word, text in (
        ("place", state.place),
        ("trays", ", ".join(state.trays)),
        ("mark", started.mark),
        ("from", started.stock_plant),
        ("note", started.note),
        ("promised", ", ".join(promised)),
        *(("mind", doubt_words(doubt)) for doubt in state.doubts),
        ("label", "print a new one" if state.needs_reprint else ""),
    ):
        if text:
            say_text(text, f"  {word:8} ")
    for lead, text in rest:
        say_text(text, lead)


def _tell_spark(desk: "Desk", batch: str) -> None:
    """How the number of plants grows from the start to the end, in one line."""
    from propagate.actions.answering import fan
    from propagate.cli.sparks import can_draw, spark

    course, fancy = fan(desk, [batch]), can_draw()
    meant = "" if fancy else ", in tenths of those started"
    days = span_words(course.first, course.last)
    say(f"  by week  {spark(course, fancy=fancy)}  {days}{meant}")


def _list(found: list[Standing]) -> None:
    wide = Columns(
        ["batch", "plant", "method", "place", "stands", "plants", "pot on"],
        [
            [
                answer.batch,
                str(answer.plant),
                answer.method,
                state.place,
                accounts_words(answer.accounts) + _mark(state),
                range_short(answer.plants),
                _window(answer, state),
            ]
            for answer, state in found
        ],
    )
    narrow = Columns(
        ["batch", "stands"],
        [[answer.batch, "\n".join(_stacked(answer, state))] for answer, state in found],
    )
    table(wide, narrow)


def _stacked(answer: BatchForecast, state: BatchState) -> list[str]:
    where = f", {state.place}" if state.place else ""
    window = _window(answer, state)
    return [
        f"{answer.plant}, {answer.method}{where}",
        accounts_words(answer.accounts) + _mark(state),
        f"{range_short(answer.plants)} plants" + (f"; pot on {window}" if window else ""),
    ]


def _mark(state: BatchState) -> str:
    """A word behind the plants of which something is suspected."""
    return " (suspect)" if state.doubts else ""


def _window(answer: BatchForecast, state: BatchState) -> str:
    """When to pot on, nothing once the tray is empty."""
    return window_short(answer.pot_on) if state.total(*IN_TRAY) else ""


@command("history")
@click.argument("batch", required=False, shell_complete=complete_batch)
@click.option("--who", is_flag=True, help="Also when each was written down, by whom and where.")
@json_option
@click.pass_obj
def history_command(call: Call, /, batch: str | None, who: bool, as_json: bool) -> None:
    """List what happened to BATCH, or the whole book, entry by entry, and why each counts."""
    from propagate.actions.telling import history

    lines = history(call.desk(), batch)
    if as_json:
        say_json([line.view() for line in lines])
        return
    if not lines:
        say(NO_BATCH)
    opening = [[str(x.seq), written(x.on), "" if batch else _codes(x.batch)] for x in lines]
    moves = [f"void ({x.void_why})" if x.void else x.moves for x in lines]
    wrote = [who_wrote(x.entered, x.by, x.device) if who else x.by for x in lines]
    wide = Columns(
        ["no#", "day", "batch", "what", "moves", "written down" if who else "by"],
        [
            [*first, x.said, moved, hand]
            for first, x, moved, hand in zip(opening, lines, moves, wrote, strict=True)
        ],
    )
    narrow = Columns(
        ["no#", "day", "batch", "what"],
        [
            [*first, "\n".join(filter(None, (x.said, moved, hand)))]
            for first, x, moved, hand in zip(opening, lines, moves, wrote, strict=True)
        ],
    )
    table(wide, narrow)


def _codes(codes: str) -> str:
    """The batches of an entry; of many, as when all labels were printed, only how many."""
    count = len(codes.split())
    return codes if count <= MOST_CODES else counted(count, "batch")


@command("undo")
@json_option
@click.pass_obj
def undo_command(call: Call, /, as_json: bool) -> None:
    """Take back the latest entry that counts. It stays in the book, marked void."""
    from propagate.actions.takingback import undo

    desk = call.desk()
    entry, _ = undo(desk)
    _taken_back(call, entry.seq, as_json)


@command("void")
@click.argument("entry", type=int, metavar="NUMBER")
@why_option("What was wrong with it.")
@json_option
@click.pass_obj
def void_command(call: Call, /, entry: int, why: str, as_json: bool) -> None:
    """Take back the entry of this NUMBER (see: propagate history)."""
    from propagate.actions.takingback import void

    void(call.desk(), entry, why)
    _taken_back(call, entry, as_json)


def _taken_back(call: Call, /, seq: int, as_json: bool) -> None:
    from propagate.actions.answering import accounts_of
    from propagate.actions.telling import entry_said
    from propagate.ledger import batch_codes

    desk = call.desk()
    entry = next(entry for entry in desk.book.entries if entry.seq == seq)
    codes = batch_codes(entry.event)
    code = codes[0] if len(codes) == 1 else ""
    accounts = accounts_of(desk, code) if code in desk.book.batches else {}
    if as_json:
        say_json({"batch": code, "accounts": accounts})
        return
    about = f"{_codes(' '.join(codes))}: " if codes else ""
    say(f"Taken back: no {seq}, {about}{entry_said(entry)} ({written(entry.on)}).")
    if accounts:
        say_text(accounts_words(accounts), "  stands   ")
