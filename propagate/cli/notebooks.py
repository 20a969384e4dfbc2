"""Notebooks: a season written down elsewhere, taken in as CSV."""

from pathlib import Path

import click

from propagate.cli.context import Call, json_option
from propagate.cli.group import command
from propagate.cli.say import say, say_json
from propagate.cli.words import counted


@command("import")
@click.argument("file", metavar="FILE.csv", type=click.Path(path_type=Path))
@json_option
@click.pass_obj
def import_command(call: Call, /, file: Path, as_json: bool) -> None:
    """Take a notebook in, one line an event: all of it, or nothing when a line is bad.

    The command template writes an empty one with its columns explained. Cells may stand
    between commas, semicolons or tabs, as your spreadsheet saves them.
    """
    from propagate.actions.importing import import_notebook

    imported = import_notebook(call.desk(), file)
    if as_json:
        say_json({"batches": imported.batches, "events": imported.events})
    else:
        entries, batches = counted(imported.events, "event"), counted(imported.batches, "batch")
        say(f"Took in {entries}; {batches} started.")
        say("  what is to be done?  propagate due")


@command("template")
@click.argument("file", metavar="FILE.csv", type=click.Path(path_type=Path))
def template_command(file: Path) -> None:
    """Write an empty notebook to FILE.csv, its columns explained in the second line."""
    from propagate.actions.importing import write_template

    write_template(file)
    say(f"Wrote {file}. One line an event; delete the line of explanations or leave it.")
