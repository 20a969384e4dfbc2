"""Copies of the book: back up, restore, export, verify, carry to another database."""

import datetime as dt
from pathlib import Path

import click

from propagate.cli.context import Call, json_option, output_option
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, table
from propagate.cli.words import counted
from propagate.days import written


@command("backup")
@click.option("--list", "listed", is_flag=True, help="Show the backups there are, latest first.")
@json_option
@click.pass_obj
def backup_command(call: Call, /, listed: bool, as_json: bool) -> None:
    """Make a backup now, or list those there are.

    One is made by itself before the first entry of each day of use, and before a newer program
    changes the file. Kept are those of 7 days, then one a week for 5 weeks, one a month for
    2 years, and everything that a restore replaced.
    """
    from propagate.actions.copies import back_up, backups_of

    desk = call.desk()
    if not listed:
        path = back_up(desk)
        if as_json:
            say_json({"file": str(path)})
        else:
            say(f"Wrote {path}.")
        return
    copies = backups_of(desk.folder)
    if as_json:
        say_json([{"file": str(c.path), "day": c.day.isoformat(), "what": c.what} for c in copies])
    elif not copies:
        say("There is no backup yet.")
    else:
        rows = [[written(c.day), c.what or "daily", c.path.name] for c in copies]
        table(Columns(["day", "what", "file"], rows))


@command("restore")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@json_option
@click.pass_obj
def restore_command(call: Call, /, file: Path | None, as_json: bool) -> None:
    """Put the backup or export FILE in the place of the book; the latest backup without FILE.

    What it replaces is kept in the folder of the backups first.
    """
    from propagate.actions.copies import restore

    done = restore(call.desk(), file)
    if as_json:
        kept = str(done.replaced) if done.replaced else None
        made = done.made.isoformat() if done.made else None
        view = {"file": str(done.source), "entries": done.entries, "replaced": kept, "made": made}
        say_json(view)
        return
    made = f", made {_age_words(done.made, call.today)}" if done.made else ""
    had = f", and had {done.had}" if done.had not in (None, done.entries) else ""
    say(f"Put back {done.source.name}{made}: the book has {counted(done.entries, 'entry')}{had}.")
    if done.replaced:
        say(f"What stood there before is kept as {done.replaced}.")


def _age_words(made: dt.datetime, today: dt.date) -> str:
    """When a backup was made, by this clock: 26 Nov 2026 14:03, 1 day ago."""
    when = made.astimezone()
    days = (today - when.date()).days
    ago = f"{counted(days, 'day')} ago" if days > 0 else "today"
    return f"{written(when.date())} {when:%H:%M}, {ago}"


@command("export")
@output_option("The file to write, such as book.jsonl.", required=True)
@json_option
@click.pass_obj
def export_command(call: Call, /, path: Path, as_json: bool) -> None:
    """Write the whole book as open text, one entry a line (JSON Lines).

    It can be read without this program, put back with restore, or merged into another copy.
    """
    from propagate.actions.copies import export

    count = export(call.desk(), path)
    if as_json:
        say_json({"file": str(path), "entries": count})
    else:
        say(f"Wrote {counted(count, 'entry')} to {path}.")


@command("verify")
@json_option
@click.pass_obj
def verify_command(call: Call, /, as_json: bool) -> None:
    """Look through the whole book, page by page and entry by entry."""
    from propagate.actions.copies import verify

    count = verify(call.desk())
    if as_json:
        say_json({"entries": count})
    else:
        say(f"The book is whole: {counted(count, 'entry')}.")


@command("carry")
@click.argument("to", metavar="URL|file")
@json_option
@click.pass_obj
def carry_command(call: Call, /, to: str, as_json: bool) -> None:
    """Carry the whole book into a PostgreSQL database at URL, or from there into a file here.

    Every entry is compared on arrival. Then set [book] url in nursery.toml to the URL (or take
    it out): from then on the book is there. The old one stays as it was.
    """
    from propagate.actions.copies import carry

    url = "" if to == "file" else to
    count = carry(call.desk(), url)
    if as_json:
        say_json({"entries": count})
        return
    say(f"Carried {counted(count, 'entry')}; each was compared on arrival.")
    how = "put the URL under [book] as url" if url else "take url out of [book]"
    say(f"To use the book there, {how} in nursery.toml.")
