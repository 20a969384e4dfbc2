"""Words on the screen: rich tables for people, plain columns for pipes, JSON for programs."""

import json
import sys
from collections.abc import Sequence
from typing import Any

import click


def say(text: str = "") -> None:
    """Print a line."""
    click.echo(text)


def note(text: str) -> None:
    """Print a remark beside the answer, out of the way of pipes."""
    click.echo(text, err=True)


def say_json(answer: Any) -> None:
    """Print an answer as JSON."""
    click.echo(json.dumps(answer, ensure_ascii=False, indent=2))


def table(columns: Sequence[str], rows: Sequence[Sequence[str]], title: str = "") -> None:
    """Print rows under headings; a column whose heading ends in # is set flush right."""
    if not rows:
        return
    if sys.stdout.isatty():
        _rich_table(columns, rows, title)
    else:
        _plain_table(columns, rows, title)


def _rich_table(columns: Sequence[str], rows: Sequence[Sequence[str]], title: str) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table

    drawn = Table(title=title or None, title_justify="left", box=box.SIMPLE_HEAD, pad_edge=False)
    for heading in columns:
        flush = heading.endswith("#")
        drawn.add_column(heading.rstrip("#"), justify="right" if flush else "left")
    for row in rows:
        drawn.add_row(*row)
    Console(highlight=False, markup=False).print(drawn)


def _plain_table(columns: Sequence[str], rows: Sequence[Sequence[str]], title: str) -> None:
    headings = [heading.rstrip("#") for heading in columns]
    widths = [max(map(len, cells)) for cells in zip(headings, *rows, strict=True)]
    if title:
        say(title)
    for row in (headings, *rows):
        cells = (
            cell.rjust(width) if heading.endswith("#") else cell.ljust(width)
            for cell, width, heading in zip(row, widths, columns, strict=True)
        )
        say("  ".join(cells).rstrip())
