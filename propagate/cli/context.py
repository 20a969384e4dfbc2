"""What every command is called with: which nursery, and which day it is."""

import datetime as dt
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click
from click.shell_completion import CompletionItem

from propagate.errors import NotFound, PropagateError

if TYPE_CHECKING:
    from propagate.actions.desk import Desk

DEVICE_VARIABLE = "PROPAGATE_DEVICE"

Decorated = TypeVar("Decorated", bound=Callable[..., Any])


class Call:
    """The options before the command; opens the nursery when a command asks for it."""

    def __init__(self, nursery: str | None, today: str | None, by: str | None = None) -> None:
        self._nursery, self._today, self._by = nursery, today, by

    @property
    def today(self) -> dt.date:
        """The day the answers are for."""
        clock = dt.date.today()
        if self._today is None:
            return clock
        from propagate.days import read_day

        return read_day(self._today, clock)

    @property
    def fixed_today(self) -> dt.date | None:
        """The day asked for with --today; None where the clock decides."""
        return None if self._today is None else self.today

    def day(self, text: str | None) -> dt.date:
        """The day an option names, today when it was not given."""
        if text is None:
            return self.today
        from propagate.days import read_day

        return read_day(text, self.today)

    def day_ahead(self, text: str | None) -> dt.date | None:
        """A day to come that an option names; one without its year is the next such day."""
        if text is None:
            return None
        from propagate.days import read_day_ahead

        return read_day_ahead(text, self.today)

    @property
    def start(self) -> Path:
        """The folder to look for a nursery from.

        Raises NotFound for one that is not there, before a nursery above it is taken for it.
        """
        folder = Path(self._nursery) if self._nursery else Path.cwd()
        if not folder.is_dir():
            raise NotFound(f"There is no folder {folder}; look at --nursery or PROPAGATE_NURSERY.")
        return folder

    def desk(self) -> "Desk":
        """Open the nursery."""
        from propagate.actions.desk import open_desk

        device = os.environ.get(DEVICE_VARIABLE, "")
        desk = open_desk(self.start, self.today, dt.datetime.now(dt.UTC), self._by or "", device)
        desk.machine = machine_name()
        context = click.get_current_context(silent=True)
        if context is not None:
            context.call_on_close(lambda: _leave(desk))
        return desk


def machine_name() -> str:
    """What this machine calls itself, for who has given it no name in the settings."""
    return os.uname().nodename if hasattr(os, "uname") else os.environ.get("COMPUTERNAME", "")


def _leave(desk: "Desk") -> None:
    desk.close()
    for remark in desk.remarks:
        click.echo(remark, err=True)


on_option = click.option(
    "--on", metavar="DATE", help='The day it happened: "12 Mar", "last Tuesday"; else today.'
)


def _not_blank(ctx: click.Context, param: click.Parameter, value: str) -> str:
    if not value.strip():
        raise click.BadParameter("it is empty; say it in a few words", ctx, param)
    return value


def why_option(help_text: str) -> Callable[[Decorated], Decorated]:
    """An option for the reason, which has to be given."""
    return click.option(
        "--why", required=True, metavar="REASON", help=help_text, callback=_not_blank
    )


def output_option(help_text: str, *, required: bool = False) -> Callable[[Decorated], Decorated]:
    """An option for the file to write."""
    return click.option(
        "-o",
        "--output",
        "path",
        required=required,
        metavar="FILE",
        type=click.Path(path_type=Path),
        help=help_text,
    )


json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON for programs.")


def complete_batch(
    ctx: click.Context, param: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """Offer the codes of living batches, each with its plant; nothing outside a nursery."""
    try:
        book = _asked(ctx).desk().book
    except PropagateError:
        return []
    return [
        CompletionItem(code, help=str(state.name))
        for code, state in book.batches.items()
        if code.startswith(incomplete.upper()) and state.living
    ]


def complete_method(
    ctx: click.Context, param: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """Offer the ids of the methods, the nursery's own among them."""
    from propagate.actions.asking import library_at

    try:
        library, _ = library_at(_asked(ctx).start)
    except PropagateError:
        return []
    return [CompletionItem(key) for key in library.ids if key.startswith(incomplete)]


def _asked(ctx: click.Context) -> Call:
    """Rebuild the call from the words typed so far; completion runs no command."""
    parameters: dict[str, Any] = ctx.find_root().params
    return Call(parameters.get("nursery"), parameters.get("today"))
