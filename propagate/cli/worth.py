"""What was made, given and planted, and what it was worth."""

from pathlib import Path

import click

from propagate.cli.context import Call, json_option, output_option
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, table
from propagate.cli.words import NO_BATCH, counted
from propagate.days import written
from propagate.records.worth import Worth, Yield


@command("worth")
@click.argument("what", nargs=-1, metavar="[PLANT|BATCH]...")
@click.option("--year", type=click.IntRange(1900, 2200), metavar="YEAR", help="Only this year.")
@output_option("Write every year and kind into FILE.csv.")
@json_option
@click.pass_obj
def worth_command(
    call: Call, /, what: tuple[str, ...], year: int | None, path: Path | None, as_json: bool
) -> None:
    """Plants made, planted and given, by year and kind, and what they were worth.

    "Made" left their trays for pots, beds or people. The value is that of plants planted and
    given, where nursery.toml has prices, in your own money.
    """
    from propagate.actions.worth import worth_of, worth_view, write_worth

    answer = worth_of(call.desk(), what, year)
    if path is not None:
        say(f"Wrote {write_worth(answer, path)}.")
    elif as_json:
        say_json(worth_view(answer))
    elif answer.years:
        _tell(answer)
    else:
        say(NO_BATCH)


def _tell(answer: Worth) -> None:
    headings = ["plant", "started#", "made#", "planted#", "given#", "lost#", "value#"]
    for one in answer.years:
        say(f"{one.year}")
        rows = [_row(str(kind.plant), kind) for kind in one.kinds]
        if len(rows) > 1:
            rows.append(_row("all together", one.total))
        table(Columns(headings, rows))
        say()
    _tell_here(answer)


def _row(name: str, kind: Yield) -> list[str]:
    counts = (kind.started, kind.made, kind.planted, kind.given, kind.lost)
    return [name, *(str(count) if count else "" for count in counts), _money(kind.value)]


def _money(value: float | None) -> str:
    return "" if not value else f"{value:,.2f}"


def _tell_here(answer: Worth) -> None:
    plants = sum(held.plants for held in answer.here)
    if not plants:
        return
    value = f", worth {_money(answer.here_value)}" if answer.here_value else ""
    say(f"{counted(plants, 'plant')} in pots here on {written(answer.as_of)}{value}:")
    rows = [[str(held.plant), str(held.plants), _money(held.value)] for held in answer.here]
    table(Columns(["plant", "in pots#", "value#"], rows))
