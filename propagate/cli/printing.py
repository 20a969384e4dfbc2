"""Printing: labels and the stock sheet."""

from pathlib import Path

import click

from propagate.cli.context import Call, complete_batch, output_option
from propagate.cli.group import command
from propagate.cli.say import say_written

FILE_HELP = "The file to write; its ending says what kind."


@command("labels")
@click.argument(
    "batches", nargs=-1, required=True, metavar="BATCH...", shell_complete=complete_batch
)
@click.option("--format", "format_name", default="", metavar="NAME", help="The kind of label.")
@click.option("--copies", type=int, metavar="N", help="So many each; else one for each tray.")
@click.option("--start-at", type=int, default=1, metavar="K", help="First free place of the sheet.")
@output_option(FILE_HELP, required=True)
@click.pass_obj
def labels_command(
    call: Call,
    /,
    batches: tuple[str, ...],
    path: Path,
    format_name: str,
    copies: int | None,
    start_at: int,
) -> None:
    """Print labels for batches, given by code, mark, tray or plant, into FILE.pdf (or .html)."""
    from propagate.actions.printing import print_labels

    written = print_labels(
        call.desk(), batches, path, format_name=format_name, copies=copies, start_at=start_at
    )
    say_written(written.path, written.notice, "; print it at 100 %, not fitted to the page")


@command("sheet")
@output_option(FILE_HELP, required=True)
@click.pass_obj
def sheet_command(call: Call, /, path: Path) -> None:
    """Print the stock sheet into FILE.pdf, FILE.html or FILE.csv."""
    from propagate.actions.printing import print_sheet

    written = print_sheet(call.desk(), path)
    say_written(written.path, written.notice)
