"""Looking into the book, and taking entries back."""

import click

from propagate.cli.context import Call, complete_batch, json_option
from propagate.cli.group import command
from propagate.cli.say import say, say_json, table
from propagate.cli.words import accounts_words, range_short, window_words
from propagate.days import written


@command("show")
@click.argument("what", nargs=-1, metavar="[BATCH|TRAY|PLANT]...", shell_complete=complete_batch)
@json_option
@click.pass_obj
def show_command(call: Call, /, what: tuple[str, ...], as_json: bool) -> None:
    """Show what stands in a batch, a tray, of a plant, or everywhere."""
    from propagate.actions.answering import forecast
    from propagate.actions.views import batch_view

    desk = call.desk()
    answers = forecast(desk, what).batches
    if as_json:
        say_json([batch_view(answer) for answer in answers])
        return
    rows = [
        [
            answer.batch,
            str(answer.plant),
            answer.method,
            desk.book.batch(answer.batch).place,
            accounts_words(answer.accounts),
            range_short(answer.plants),
            window_words(answer.pot_on) if desk.book.batch(answer.batch).living else "",
        ]
        for answer in answers
    ]
    table(["batch", "plant", "method", "place", "stands", "plants", "pot on"], rows)
    if not rows:
        say("There is no batch in this book yet; propagate start --help says how to begin.")


@command("history")
@click.argument("batch", required=False, shell_complete=complete_batch)
@json_option
@click.pass_obj
def history_command(call: Call, /, batch: str | None, as_json: bool) -> None:
    """List what happened to BATCH, or the whole book, entry by entry, and why each counts."""
    from propagate.actions.telling import history

    lines = history(call.desk(), batch)
    if as_json:
        say_json([line.view() for line in lines])
        return
    table(
        ["no#", "day", "batch", "what", "moves", ""],
        [
            [str(x.seq), written(x.on), x.batch, x.said, x.moves, "void" if x.void else ""]
            for x in lines
        ],
    )


@command("undo")
@json_option
@click.pass_obj
def undo_command(call: Call, /, as_json: bool) -> None:
    """Take back the latest entry that counts. It stays in the book, marked void."""
    from propagate.actions.recording import undo

    desk = call.desk()
    entry, _ = undo(desk)
    _taken_back(call, entry.seq, as_json)


@command("void")
@click.argument("entry", type=int, metavar="NUMBER")
@click.option("--why", required=True, metavar="T", help="What was wrong with it.")
@json_option
@click.pass_obj
def void_command(call: Call, /, entry: int, why: str, as_json: bool) -> None:
    """Take back the entry of this NUMBER (see: propagate history)."""
    from propagate.actions.recording import void

    void(call.desk(), entry, why)
    _taken_back(call, entry, as_json)


def _taken_back(call: Call, /, seq: int, as_json: bool) -> None:
    from propagate.actions.answering import accounts_of
    from propagate.actions.telling import entry_said
    from propagate.ledger import batch_codes

    desk = call.desk()
    entry = next(entry for entry in desk.book.entries if entry.seq == seq)
    code = next(iter(batch_codes(entry.event)), "")
    accounts = accounts_of(desk, code) if code in desk.book.batches else {}
    if as_json:
        say_json({"batch": code, "accounts": accounts})
        return
    say(f"Taken back: {entry_said(entry)} on {written(entry.on)}.")
    if accounts:
        say(f"{code}: {accounts_words(accounts)}")
