"""Years ahead: plants made now that are mothers later."""

from pathlib import Path
from typing import Any

import click

from propagate.cli.context import Call, complete_method, json_option, output_option
from propagate.cli.counting import CountRange
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, say_written, table
from propagate.cli.sparks import can_draw
from propagate.cli.words import counted
from propagate.days import written
from propagate.records.answers import PlantCount
from propagate.records.years import StockGoal, YearsAhead
from propagate.spans import rounded

SMALL = 100  # of so few mothers, tenths are told

BAR = 30  # characters of the longest bar

SHARE = click.FloatRange(0, 100)


@command("years")
@click.argument("plant", required=False)
@click.option(
    "--by",
    "method",
    default="",
    metavar="METHOD",
    shell_complete=complete_method,
    help="How it is multiplied; as the book did last, if not given.",
)
@click.option(
    "--mothers",
    type=CountRange(1, 1000),
    metavar="N",
    help="Mothers there are; those of the book, if not given.",
)
@click.option(
    "--target",
    type=CountRange(1, 100_000),
    metavar="N",
    help="Plants wanted: how soon, and how many to keep as mothers?",
)
@click.option("--keep", type=SHARE, metavar="%", help="So many of 100 new plants become mothers.")
@click.option(
    "--years",
    type=CountRange(1, 10),
    default=5,
    metavar="N",
    help="How far to look; 5 if not given.",
)
@click.option(
    "--chance",
    type=click.FloatRange(50, 99),
    default=80.0,
    metavar="%",
    help="How sure to be of the target; 80 if not given.",
)
@output_option("Draw it into FILE.svg, .pdf, .html, or write its figures as .csv.")
@json_option
@click.pass_obj
def years_command(call: Call, /, plant: str | None, as_json: bool, **asked: Any) -> None:
    """How many plants there will be in some years, when new plants become mothers themselves.

    PLANT is one kind; without it, every kind with a mother in the book. One round a year is
    reckoned; plants not kept go out to beds and people. With --target the smallest share to
    keep is found with which so many are out soonest.
    """
    from propagate.actions.years import every_kind, print_years, years_of, years_view

    desk, path = call.desk(), asked["path"]
    keep = None if asked["keep"] is None else asked["keep"] / 100
    if plant is None:
        _refuse_without_plant(asked)
        answers = every_kind(desk, asked["years"], keep)
    else:
        answers = [
            years_of(
                desk,
                plant,
                asked["method"],
                mothers=asked["mothers"],
                years=asked["years"],
                keep=keep,
                target=asked["target"],
                sure=asked["chance"] / 100,
            )
        ]
    if path is not None:
        done = print_years(desk, answers, Path(path))
        say_written(done.path, done.notice)
    elif as_json:
        say_json(years_view(answers[0]) if plant else [years_view(one) for one in answers])
    elif plant:
        _tell(answers[0])
    else:
        _tell_all(answers)


def _refuse_without_plant(asked: dict[str, Any]) -> None:
    for key, option in (("target", "--target"), ("mothers", "--mothers"), ("method", "--by")):
        if asked[key]:
            raise click.UsageError(f"{option} is for one plant; name it.")


def _tell(answer: YearsAhead) -> None:
    say(f"{answer.plant}, by {answer.method}, from {counted(answer.mothers, 'mother')}")
    if answer.goal:
        say(goal_words(answer.goal, answer))
    say()
    headings = ["in", "by", "mothers#", "made that year#", "kept#", "out so far#", ""]
    most = max(year.out.high for year in answer.years) or 1
    rows = [
        [
            counted(at, "year"),
            written(year.by),
            f"{year.mothers:.1f}" if year.mothers < SMALL else rounded(year.mothers),
            _range(year.made),
            rounded(year.kept),
            _range(year.out),
            bar(year.out.low, year.out.likely, year.out.high, most),
        ]
        for at, year in enumerate(answer.years, start=1)
    ]
    table(Columns(headings, rows), Columns(headings[:6], [row[:6] for row in rows]))
    say()
    say(f"All kept, the stock grows {answer.growth:.2g}-fold a year in the long run.")
    for words in answer.said:
        say(words)


def goal_words(goal: StockGoal, answer: YearsAhead) -> str:
    """The target in a sentence: how soon, and how many to keep."""
    chance = f"{goal.chance * 100:.0f} % sure"
    if goal.years is None:
        return (
            f"{goal.wanted} plants are not reached in {len(goal.keeps)} years, all kept: "
            f"{chance} then."
        )
    soonest = f"{goal.wanted} plants are out in {counted(goal.years, 'year')}, {chance}"
    kept = [
        f"{rounded(year.kept)} of year {at}'s {rounded(year.made.likely)}"
        for at, year in enumerate(answer.years, start=1)
        if answer.keeps[at - 1] > 0
    ]
    return f"{soonest}: keep {', '.join(kept)} as mothers." if kept else f"{soonest}: keep none."


def bar(low: int, likely: int, high: int, most: int) -> str:
    """A bar up to the low number, a line on to the high one, a mark at the likely."""
    full, line, mark = ("█", "─", "┼") if can_draw() else ("#", "-", "+")
    ends = [round(BAR * n / most) for n in (low, likely, high)]
    drawn = list(full * ends[0] + line * (ends[2] - ends[0]))
    if drawn:
        drawn[min(max(ends[1] - 1, 0), len(drawn) - 1)] = mark
    return "".join(drawn)


def _range(plants: PlantCount) -> str:
    ends = (plants.low, plants.likely, plants.high)
    return " – ".join(map(rounded, ends)) if plants.low != plants.high else rounded(plants.likely)


def _tell_all(answers: list[YearsAhead]) -> None:
    if not answers:
        say("The book has no mother plant whose record says how she serves; name a plant.")
        return
    years = range(len(answers[0].years))
    headings = ["plant", "by", "mothers#", *(f"{written(answers[0].years[y].by)}#" for y in years)]
    rows = [
        [
            str(one.plant),
            one.method,
            str(one.mothers),
            *(_range(one.years[y].out).replace(" ", "") for y in years),
        ]
        for one in answers
    ]
    say(f"Plants out to beds and people by then, when {answers[0].keeps[0] * 100:.0f} of 100 are")
    say("kept as mothers: low–likely–high.")
    say()
    table(Columns(headings, rows))
