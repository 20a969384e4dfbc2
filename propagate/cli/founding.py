"""Making nurseries: an empty one, and the demo."""

import datetime as dt
from pathlib import Path

import click

from propagate.cli.context import Call
from propagate.cli.group import command
from propagate.cli.say import say
from propagate.days import written_short

LEAP_YEAR = 2024  # so that it has every day of a year

hemisphere_option = click.option(
    "--hemisphere",
    type=click.Choice(["north", "south"]),
    default="north",
    show_default=True,
    help="Where on earth: it turns the seasons round.",
)


@command("init")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--name", default="", metavar="TEXT", help="The nursery's name; else the folder's.")
@hemisphere_option
@click.option("--last-frost", metavar="MM-DD", help="When the spring frosts are over.")
@click.option("--first-frost", metavar="MM-DD", help="When the autumn frosts are back.")
@click.pass_obj
def init_command(
    call: Call,
    /,
    folder: Path,
    name: str,
    hemisphere: str,
    last_frost: str | None,
    first_frost: str | None,
) -> None:
    """Make DIR a nursery: a settings file to read and edit, and an empty book."""
    from propagate.actions.founding import found_nursery
    from propagate.settings import COMMON_FROSTS, month_day

    frosts = COMMON_FROSTS[hemisphere]
    last = month_day(last_frost) if last_frost else frosts["last_frost"]
    first = month_day(first_frost) if first_frost else frosts["first_frost"]
    settings = found_nursery(folder, name, hemisphere, last_frost=last, first_frost=first)
    said, until = (written_short(dt.date(LEAP_YEAR, *day)) for day in (last, first))
    say(f"{folder} is a nursery now. Look through its settings: {settings}")
    say(f"They take {said} to {until} as free of frost.")
    say(f"Then, for example:  propagate --nursery {folder} start blackcurrant hardwood-cutting 40")


@command("demo")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@hemisphere_option
@click.pass_obj
def demo_command(call: Call, /, folder: Path, hemisphere: str) -> None:
    """Make the demo nursery in DIR, an invented season, with its labels and stock sheet."""
    from propagate.actions.demo import make_demo

    for line in make_demo(folder, hemisphere, say, dt.datetime.now(dt.UTC)):
        say(line)
