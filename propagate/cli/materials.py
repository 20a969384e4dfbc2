"""The shopping list."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from propagate.cli.context import Call, Decorated, json_option, output_option
from propagate.cli.counting import CountRange
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, say_text, say_written, table
from propagate.days import written
from propagate.records.materials import Need, Shopping


def planned_option(help_text: str) -> Callable[[Decorated], Decorated]:
    """An option for a start that is only planned; it may be given several times."""
    return click.option(
        "--plan",
        "planned",
        nargs=4,
        multiple=True,
        metavar="PLANT METHOD COUNT DATE",
        help=help_text,
    )


@command("materials")
@click.option(
    "--weeks",
    type=CountRange(min=0, max=260),
    default=12,
    metavar="N",
    help="How far ahead; 12 weeks if not given.",
)
@planned_option("A start you plan, to be reckoned in; may be given several times.")
@click.option("--into", metavar="CONTAINER", default="", help="What planned starts are set into.")
@output_option("Write the list into FILE.pdf, .html or .csv.")
@json_option
@click.pass_obj
def materials_command(call: Call, /, weeks: int, as_json: bool, **asked: Any) -> None:
    """What to buy for the weeks ahead: pots, compost, sand, labels, rooting powder.

    "Enough" is enough 9 times in 10. What you have already is taken off where nursery.toml
    says so under [in_hand].
    """
    from propagate.actions.materials import materials, materials_view, print_materials
    from propagate.actions.planned import planned_starts

    desk = call.desk()
    answer = materials(desk, weeks, planned_starts(desk, asked["planned"], asked["into"]))
    path: Path | None = asked["path"]
    if path is not None:
        done = print_materials(desk, answer, path)
        say_written(done.path, done.notice)
    elif as_json:
        say_json(materials_view(answer))
    elif answer.needs:
        _tell(answer)
    else:
        say(f"Nothing is needed until {written(answer.until)}.")


def _tell(answer: Shopping) -> None:
    say(f"from {written(answer.as_of)} to {written(answer.until)}")
    say()
    headings = ["", "expected#", "enough#", "in hand#", "buy#", "for", "basis"]
    rows = [[need.item, *_amounts(need), need.why, need.basis] for need in answer.needs]
    narrow = [[need.item, *_amounts(need)] for need in answer.needs]
    table(Columns(headings, rows), Columns(headings[:5], narrow))
    for caution in answer.cautions:
        say()
        say_text(caution, "Caution: ")


def _amounts(need: Need) -> list[str]:
    in_hand = f"{need.in_hand:.0f}" if need.in_hand else ""
    shown = (f"{need.expected:.0f}", f"{need.enough:.0f}", in_hand, f"{need.to_buy:.0f}")
    return [f"{amount} {need.unit}".strip() if amount else "" for amount in shown]
