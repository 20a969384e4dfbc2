"""Printing sheets."""

from pathlib import Path

import click
from click.shell_completion import CompletionItem

from propagate.cli.context import Call, json_option, output_option
from propagate.cli.counting import CountRange
from propagate.cli.group import command
from propagate.cli.say import say_json, say_written

FILE_HELP = "The file to write; its ending says what kind."


def complete_kind(
    ctx: click.Context, param: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """Offer the kinds of sheet, each with what it is for."""
    from propagate.actions.sheets import KINDS

    return [
        CompletionItem(name, help=kind.said)
        for name, kind in KINDS.items()
        if name.startswith(incomplete)
    ]


@command("sheet")
@click.argument("kind", default="stock", metavar="[KIND]", shell_complete=complete_kind)
@click.option("--place", default="", metavar="PLACE", help="For jobs, checks: at this place alone.")
@click.option(
    "--weeks",
    type=CountRange(min=0),
    metavar="N",
    help="For jobs, beds, customer: so far ahead; else 1, 12 and 26.",
)
@click.option("--paper", type=click.Choice(["a4", "letter"]), help="Else as the settings say.")
@output_option(FILE_HELP)
@json_option
@click.pass_obj
def sheet_command(
    call: Call,
    /,
    kind: str,
    place: str,
    weeks: int | None,
    paper: str | None,
    path: Path | None,
    as_json: bool,
) -> None:
    """Print a sheet into FILE.pdf, .html, .csv or .json; the stock sheet unless KIND says else.

    \b
    stock      every batch with its counts, what will come of it, and when
    customer   what is free to give or sell, now and soon, for people outside
    jobs       the week's jobs, place by place
    beds       what stands in each bed, and what can go there
    checks     a card for each bench, with boxes to fill in with wet hands
    mothers    the register of mother plants
    origins    where each batch came from and where its plants went
    """  # noqa: D301 (the sign keeps the list's lines apart)
    from propagate.actions.sheets import Wanted, make_print, print_sheet

    if path is None and not as_json:
        raise click.UsageError("Say which file to write with -o FILE.pdf, or give --json.")
    desk, wanted = call.desk(), Wanted(place, weeks, paper or "")
    if as_json:
        say_json(make_print(desk, kind, wanted).lines())
    if path is not None:
        written = print_sheet(desk, path, kind, wanted)
        if not as_json:
            say_written(written.path, written.notice)
