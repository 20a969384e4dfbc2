"""Words on the screen: rich tables for people, plain columns for pipes, JSON for programs."""

import json
import shutil
import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click
from attrs import frozen

from propagate.legible import shown

WIDEST_TEXT = 100  # characters in a line of running text; longer ones are hard to follow
WIDER_THAN_ANY = 10_000  # characters, to measure how wide a table would like to be


@frozen
class Columns:
    """Rows under headings; a column whose heading ends in # is set flush right."""

    headings: Sequence[str]
    rows: Sequence[Sequence[str]]

    def without_empty(self) -> "Columns":
        """The same without the columns that say nothing in any row."""
        kept = [at for at in range(len(self.headings)) if any(row[at] for row in self.rows)]
        return Columns(
            [self.headings[at] for at in kept], [[row[at] for at in kept] for row in self.rows]
        )

    def on_screen(self) -> "Columns":
        """The same with nothing in it that a terminal would obey."""
        return Columns(self.headings, [[shown(cell) for cell in row] for row in self.rows])


def say(text: str = "") -> None:
    """Print a line."""
    click.echo(shown(text))


def note(text: str) -> None:
    """Print a remark beside the answer, out of the way of pipes."""
    click.echo(shown(text), err=True)


def say_written(path: Path, notice: str, how: str = "") -> None:
    """Say which file was written, and what was amiss with it, if anything."""
    say(f"Wrote {path}{how}.")
    if notice:
        note(notice)


def say_json(answer: Any) -> None:
    """Print an answer as JSON: laid out for eyes on a terminal, in one line for a program."""
    indent = 2 if sys.stdout.isatty() else None  # laying out takes a long answer longer
    click.echo(shown(json.dumps(answer, ensure_ascii=False, indent=indent)))


def say_text(text: str, lead: str = "") -> None:
    """Print running text after `lead`, on a terminal wrapped to hang under its beginning."""
    if not sys.stdout.isatty():
        say(lead + text)
        return
    width = min(shutil.get_terminal_size().columns, WIDEST_TEXT)
    hang = " " * len(lead)
    say(textwrap.fill(text, width, initial_indent=lead, subsequent_indent=hang))


def table(columns: Columns, narrow: Columns | None = None) -> None:
    """Print a table; on a terminal that is too narrow for it, the `narrow` one instead."""
    if not columns.rows:
        return
    columns, narrow = columns.on_screen(), (narrow or columns).on_screen()
    if sys.stdout.isatty():
        _rich_table(columns, narrow)
    else:
        _plain_table(columns.without_empty())


def _rich_table(columns: Columns, narrow: Columns) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table

    console = Console(highlight=False, markup=False)
    # NO_COLOR asks for no colour; bold is none, but who sets it wants plain text.
    style = "" if console.no_color else "bold"

    def drawn(chosen: Columns) -> Table:
        made = Table(box=box.SIMPLE_HEAD, show_edge=False, padding=(0, 1, 0, 0), header_style=style)
        for heading in chosen.headings:
            flush = heading.endswith("#")
            made.add_column(
                heading.rstrip("#"), justify="right" if flush else "left", overflow="fold"
            )
        for row in chosen.rows:
            made.add_row(*row)
        return made

    whole = drawn(columns.without_empty())
    fits = (
        console.measure(whole, options=console.options.update_width(WIDER_THAN_ANY)).maximum
        <= console.width
    )
    console.print(whole if fits else drawn(narrow.without_empty()))


def _plain_table(columns: Columns) -> None:
    headings = [heading.rstrip("#") for heading in columns.headings]
    widths = [max(map(len, cells)) for cells in zip(headings, *columns.rows, strict=True)]
    for row in (headings, *columns.rows):
        cells = (
            cell.rjust(width) if heading.endswith("#") else cell.ljust(width)
            for cell, width, heading in zip(row, widths, columns.headings, strict=True)
        )
        say("  ".join(cells).rstrip())
