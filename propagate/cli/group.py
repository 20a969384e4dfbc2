"""The program and its commands by name; a command's own module is loaded when it is called.

Loading them all would cost a tenth of a second before every answer.
"""

import re
from collections.abc import Callable
from importlib import import_module
from typing import Any, Final

import click

from propagate import __version__
from propagate.cli.context import Call

SEASON: Final[dict[str, dict[str, tuple[str, str]]]] = {
    "To begin": {
        "init": ("founding", "Make a nursery: a folder with settings and an empty book."),
        "demo": ("founding", "Make a nursery with a whole season in it, labels and stock sheet."),
        "import": ("notebooks", "Take a season's notebook in as a CSV file."),
        "template": ("notebooks", "Write an empty notebook with its columns explained."),
    },
    "What to start, for the beds": {
        "methods": (
            "methods",
            "Ask the library: times, take, season and where each number is from.",
        ),
        "want": ("beds", "Say what is wanted in a bed by when, or list all wants."),
        "beds": ("beds", "Will there be enough plants for the beds? What is short, what spare."),
        "plan": (
            "plans",
            "What to start so that the beds are filled, when, from which mother, where.",
        ),
        "reckon": (
            "reckoning",
            "Sums for the bench: a dip, seeds to sow, when to stratify, compost.",
        ),
    },
    "With a tray in hand": {
        "start": ("starting", "Start a batch: so many cuttings, runners, seeds of one plant."),
        "labels": ("labels", "Print labels; list label formats, and how long labels last."),
        "check": ("tray", "Look into a tray: so many rooted, so many dead."),
        "sever": ("tray", "Cut layers or runners from their mother plant."),
        "pot-on": ("tray", "Pot on rooted plants."),
        "harden": ("tray", "Move potted plants out to harden off."),
        "ready": ("tray", "Find plants strong enough for a bed or a new owner."),
        "plant-out": ("tray", "Plant out into a bed."),
        "move": ("tray", "Move a batch to another place."),
    },
    "Plants that go": {
        "promise": ("tray", "Promise plants to somebody, so that they are not free."),
        "offer": ("tray", "Mark plants as for sale."),
        "give": ("tray", "Give or sell plants."),
        "lose": ("tray", "Write off plants that died or went missing."),
    },
    "What is to be done, what will come": {
        "due": ("answers", "What is to be done, soonest first."),
        "show": ("books", "Show a batch, a tray, a plant or everything."),
        "forecast": ("answers", "How many plants will come, and when to pot on."),
        "sheet": ("printing", "Print the stock sheet, a job card, bed list, check cards and more."),
        "serve": ("serving", "Open the bench page, for a phone or a screen."),
    },
    "Mother plants, and what was raised from them": {
        "mother": ("mothers", "Add a mother plant, or list them all."),
        "name": ("mothers", "Say what a plant really is, and list the labels to print anew."),
        "trace": ("tracing", "Trace plants back to their mother, and on to beds and people."),
        "suspect": ("tracing", "Say that a mother plant or a batch may be diseased or misnamed."),
        "clear": ("tracing", "Lift what was suspected of a mother plant or a batch."),
    },
    "Room, purchases, years ahead": {
        "bench": ("benches", "What each place will hold, week by week, against its bench."),
        "materials": ("materials", "What to buy: pots, compost, sand, labels, rooting powder."),
        "weather": ("weather", "Show which temperatures are known, their gaps, and frost dates."),
        "years": ("years", "How many plants in some years, when new plants become mothers."),
        "worth": ("worth", "Plants made, planted and given by year and kind, and their worth."),
    },
    "A slip, or a doubt": {
        "undo": ("books", "Take back the latest entry."),
        "void": ("books", "Take back any entry by its number."),
        "recount": ("tray", "Put a wrong number right: so many are alive."),
        "history": ("books", "List what happened to a batch, entry by entry."),
        "why": ("explaining", "Why a figure is what it is: the entries that made it."),
    },
    "To keep the book": {
        "backup": ("copies", "Make a backup now, or list those there are."),
        "restore": ("copies", "Put a backup back; what it replaces is kept."),
        "verify": ("copies", "Look through the whole book for damage."),
        "export": ("copies", "Write the whole book as open text."),
        "merge": ("merging", "Take in what was written in another copy of the book."),
        "settle": ("merging", "Settle what two copies told differently."),
        "carry": ("copies", "Carry the book into a database for several sites, or back."),
        "completion": ("shells", "Print the completion script for your shell."),
    },
}
"""Heading -> command name -> module under propagate.cli, and the line that help shows for it."""

COMMANDS: Final = {name: told for part in SEASON.values() for name, told in part.items()}
"""All of these commands, in the order of a season's work."""

OTHER_WORDS: Final = {
    **dict.fromkeys(("list", "status", "batches", "trays"), ("show", "due")),
    **dict.fromkeys(("jobs", "todo", "tasks", "today"), ("due",)),
    **dict.fromkeys(("new", "add", "sow", "strike", "peg", "layer", "divide"), ("start",)),
    **dict.fromkeys(("pot", "potted", "repot", "prick-out"), ("pot-on",)),
    **dict.fromkeys(("plant", "planted"), ("plant-out",)),
    **dict.fromkeys(("count", "look", "rooted", "look-in"), ("check", "recount")),
    **dict.fromkeys(("dead", "died", "kill"), ("check", "lose")),
    **dict.fromkeys(("sell", "sold", "gave"), ("give", "offer")),
    **dict.fromkeys(("delete", "remove", "cancel", "edit"), ("undo", "void")),
    **dict.fromkeys(("print", "pdf"), ("labels", "sheet")),
    **dict.fromkeys(("stock", "stocktake", "inventory"), ("sheet", "show")),
    **dict.fromkeys(("calendar", "ics"), ("due",)),
    **dict.fromkeys(("buy", "shopping"), ("materials",)),
    **dict.fromkeys(("phone", "web"), ("serve",)),
}
"""What people may type for a command, and what they may mean."""

RANGES: Final = {
    r"(\d+)<=x<=(\d+)": r"\1 to \2",
    r"(\d+)<x<(\d+)": r"between \1 and \2",
    r"x>=(\d+)": r"\1 or more",
}
"""Ranges as the library of the command line writes them, and in words."""


class Commands(click.Group):
    """A group that knows its commands' names and loads each on demand."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """List the names in the order of a season's work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command, None when there is none of that name."""
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"propagate.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, cmd_name.replace("-", "_") + "_command")
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; offer the nearest names for one that does not exist."""
        name = args[0] if args else ""
        if name == "help":  # help start: what start --help shows
            return self.resolve_command(ctx, [*args[1:2], "--help"])
        if name and not name.startswith("-") and name not in COMMANDS:
            import difflib

            near = OTHER_WORDS.get(name.lower()) or difflib.get_close_matches(name, COMMANDS, n=2)
            offer = f" (did you mean {' or '.join(near)}?)" if near else ""
            raise click.UsageError(f'There is no command "{name}"{offer}', ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands under their headings, without loading any of them."""
        width = max(map(len, COMMANDS))
        for heading, part in SEASON.items():
            with formatter.section(heading):
                formatter.write_dl([(name.ljust(width), line) for name, (_, line) in part.items()])


@click.command(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--nursery",
    metavar="DIR",
    envvar="PROPAGATE_NURSERY",
    help="The nursery folder; otherwise this folder or the nearest above that is one.",
)
@click.option("--today", metavar="DATE", help="Answer as of this day instead of today.")
@click.option("--by", metavar="NAME", envvar="PROPAGATE_BY", help="Who writes, for the history.")
@click.version_option(__version__, prog_name="propagate")
@click.pass_context
def program(ctx: click.Context, nursery: str | None, today: str | None, by: str | None) -> None:
    """A propagation book that does the arithmetic.

    It says what stands in which tray, when to pot it on, how many plants it will really
    give, and whether that fills next season's beds.
    """
    ctx.obj = Call(nursery, today, by)


class PlainCommand(click.Command):
    """A command whose help says in words which numbers an option takes."""

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the options; 1<=x<=12 is said as 1 to 12."""
        options = [param for param in self.get_params(ctx) if isinstance(param, click.Option)]
        records = [option.get_help_record(ctx) for option in options]
        with formatter.section("Options"):
            formatter.write_dl([(names, _in_words(text)) for names, text in filter(None, records)])


def _in_words(text: str) -> str:
    for signs, words in RANGES.items():
        text = re.sub(signs, words, text)
    return text


def command(name: str) -> Callable[[Callable[..., Any]], click.Command]:
    """Decorate a function as the command `name`, with the help line of the table as its own."""
    return click.command(name, cls=PlainCommand, short_help=COMMANDS[name][1])
