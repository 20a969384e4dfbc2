"""Sums for the bench: solutions, seeds and cuttings to start, stratification, compost."""

from typing import TYPE_CHECKING

import click

from propagate.cli.context import Call, json_option
from propagate.cli.counting import CountRange, Percent
from propagate.cli.group import COMMANDS
from propagate.cli.say import say, say_json
from propagate.days import written
from propagate.science import quantities

if TYPE_CHECKING:
    from propagate.science.germination import Course

MOST_PLANTS = 1_000_000
"""Sums for more plants than that are not asked at a bench."""


take_option = click.option(
    "--take",
    type=Percent(whole=True),
    required=True,
    metavar="%",
    help="So many of 100 come up.",
)


def _ml(amount: float) -> str:
    """Millilitres as a measuring glass shows them, drops of a small amount told too."""
    return f"{amount:.1f} ml" if amount >= 1 else f"{amount:.2g} ml"


@click.group("reckon", short_help=COMMANDS["reckon"][1])
def reckon_command() -> None:
    """Sums for the bench: a dip, seeds to sow, when to stratify, pots from a bag."""


@reckon_command.command("dip", short_help="Thin a rooting solution.")
@click.option("--stock", type=float, metavar="MG_PER_L", help="Strength of what you have.")
@click.option("--percent", type=float, metavar="%", help="The same, as the label's percent.")
@click.option("--want", type=float, required=True, metavar="MG_PER_L", help="Strength wanted.")
@click.option("--volume", type=float, required=True, metavar="ML", help="How much, in ml.")
@json_option
def dip_command(
    stock: float | None, percent: float | None, want: float, volume: float, as_json: bool
) -> None:
    """Thin a rooting solution: so much of the stock, so much water or alcohol.

    Strengths are in mg/L, the same as ppm; 0.1 % is 1,000 mg/L.
    """
    if (stock is None) == (percent is None):
        raise click.UsageError("Give either --stock in mg/L or --percent as on the label.")
    strength = quantities.mg_per_l_of_percent(percent) if percent is not None else stock
    made = quantities.dilution(strength or 0.0, want, volume)
    if as_json:
        say_json({"stock_ml": made.stock_ml, "diluent_ml": made.diluent_ml})
        return
    say(f"{_ml(made.stock_ml)} of the stock and {_ml(made.diluent_ml)} of water or alcohol")
    say(
        "Caution: rooting products are plant-protection products in many countries, and their "
        "label is the law: gloves, no splashes, no flame near alcohol, throw away what is left."
    )


@reckon_command.command("sow", short_help="Seeds or cuttings to start for so many plants.")
@click.argument("wanted", type=CountRange(1, MOST_PLANTS))
@take_option
@click.option("--loss", type=Percent(), default=0.0, metavar="%", help="So many of 100 die later.")
@click.option(
    "--chance",
    type=Percent(whole=True),
    default=90.0,
    metavar="%",
    help="How sure; 90 if not given.",
)
@json_option
def sow_command(wanted: int, take: float, loss: float, chance: float, as_json: bool) -> None:
    """How many seeds or cuttings to start for WANTED plants, at a known take and loss."""
    from propagate.actions.reckoning import to_start

    answer = to_start(wanted, take / 100, 1 - loss / 100, chance / 100)
    if as_json:
        say_json(
            {"on_average": answer.on_average, "surely": answer.surely, "chance": answer.chance}
        )
        return
    say(f"{answer.on_average} give {wanted} on average, which is too few about every other time;")
    say(f"{answer.surely} give {wanted} or more in {chance:g} of 100 cases, if the take is right.")


@reckon_command.command("cells", short_help="Seeds to each cell, so that few stay empty.")
@take_option
@click.option(
    "--chance", type=Percent(whole=True), default=95.0, metavar="%", help="Cells to be filled."
)
@json_option
def cells_command(take: float, chance: float, as_json: bool) -> None:
    """How many seeds to sow in each cell or pot, so that few stay empty."""
    seeds = quantities.seeds_per_cell(take / 100, chance / 100)
    filled = quantities.chance_filled(take / 100, seeds)
    if as_json:
        say_json({"seeds": seeds, "filled": filled})
        return
    say(f"{seeds} in each: {filled * 100:.1f} of 100 cells get at least one seedling")


@reckon_command.command("stratify", short_help="When to begin the warm and cold spells of seed.")
@click.argument("plant")
@click.option("--sow", "sowing", required=True, metavar="DATE", help="When you want to sow.")
@json_option
@click.pass_obj
def stratify_command(call: Call, /, plant: str, sowing: str, as_json: bool) -> None:
    """When to begin the warm and cold spells of PLANT's seed, to sow it on a day."""
    from propagate.actions.asking import library_at
    from propagate.actions.reckoning import stratification
    from propagate.days import read_day_ahead

    library, _ = library_at(call.start)
    answer = stratification(library, library.resolve(plant), read_day_ahead(sowing, call.today))
    if as_json:
        spells = [
            {"spell": name, "begins": begins.isoformat(), "ends": ends.isoformat()}
            for name, begins, ends in answer.spells
        ]
        say_json({"begins": answer.begins.isoformat(), "spells": spells, "said": answer.said})
        return
    for name, begins, ends in answer.spells:
        say(f"{name:5} {written(begins)} to {written(ends)}, {(ends - begins).days} days")
    say(answer.said)
    if answer.begins < call.today:
        soonest = call.today + (answer.spells[-1][2] - answer.begins)
        say(f"That should have begun already; begun today it can be sown on {written(soonest)}.")


@reckon_command.command("fill", short_help="Pots that a bag of compost fills.")
@click.option("--bag", type=float, required=True, metavar="L", help="Compost, in litres.")
@click.option("--pot", type=float, metavar="L", help="What one pot or tray takes, in litres.")
@click.option("--width", type=float, metavar="CM", help="Or its width at the top ...")
@click.option("--height", type=float, metavar="CM", help="... and its height.")
@click.option("--settling", type=float, default=0.0, metavar="%", help="Lost on watering in.")
@json_option
def fill_command(
    bag: float,
    pot: float | None,
    width: float | None,
    height: float | None,
    settling: float,
    as_json: bool,
) -> None:
    """How many pots a bag of compost fills."""
    if pot is None:
        if width is None or height is None:
            raise click.UsageError("Give the pot's litres, or its width and height in cm.")
        pot = quantities.pot_litres(width, height)
    pots = quantities.pots_per_bag(bag, pot, settling=settling / 100)
    if as_json:
        say_json({"pots": pots, "pot_l": pot})
        return
    say(f"{pots} pots of about {pot:.3g} l")
    say("Caution: damp the compost first, open the bag away from your face, wash your hands.")


@reckon_command.command("germination", short_help="Figures of a germination test.")
@click.argument("sown", metavar="SOWN|BATCH")
@click.argument("counts", nargs=-1, metavar="DAY=COUNT...")
@json_option
@click.pass_obj
def germination_command(call: Call, /, sown: str, counts: tuple[str, ...], as_json: bool) -> None:
    """Figures of a germination test: SOWN seeds, and how many came up new on each day.

    Of a BATCH in the book, its checks tell. For example:
    propagate reckon germination 50 5=4 6=17 7=10 8=7 9=1 11=1
    """
    test = _test_of(sown, counts) if counts or sown.isdecimal() else _test_in_book(call, sown)
    figures = {
        "germinated": test.germinated,
        "final_percent": test.final_share * 100,
        "first_day": test.first_day,
        "last_day": test.last_day,
        "mean_days": test.mean_days,
        "half_days_coolbear": test.half_days_coolbear,
        "half_days_farooq": test.half_days_farooq,
        "uniformity_days": test.uniformity_days(),
        "synchrony": test.synchrony,
    }
    if as_json:
        say_json(figures)
        return
    say(f"{test.germinated} of {test.sown} came up, {test.final_share * 100:.3g} %")
    if test.first_day == test.last_day:
        say(f"all counted on day {test.first_day:g}, so when they came up is not known closely")
        return
    say(f"from day {test.first_day:g} to {test.last_day:g}, on average on day {test.mean_days:.3g}")
    say(
        f"half of them by day {test.half_days_coolbear:.3g} (Coolbear), "
        f"{test.half_days_farooq:.3g} (Farooq)"
    )
    within = f"{test.uniformity_days():.3g}"
    say(f"the middle half within {within} {'day' if within == '1' else 'days'}")


def _test_of(sown: str, counts: tuple[str, ...]) -> "Course":
    from propagate.science.germination import course

    if not counts:
        raise click.UsageError("DAY=COUNT... is missing, such as 6=17.")
    seeds = int(sown) if sown.isdecimal() else 0
    if not 1 <= seeds <= MOST_PLANTS:
        raise click.UsageError(f"{sown} is no number of seeds from 1 to {MOST_PLANTS:,}.")
    days, came = zip(*map(_day_count, counts), strict=True)
    if sum(came) > seeds:
        raise click.UsageError(f"{sum(came)} came up, but only {seeds} were sown.")
    return course(days, came, seeds)


def _test_in_book(call: Call, batch: str) -> "Course":
    from propagate.actions.reckoning import germination_of

    return germination_of(call.desk(), batch)


def _day_count(typed: str) -> tuple[float, int]:
    day, _, count = typed.partition("=")
    try:
        return float(day), int(count)
    except ValueError:
        raise click.UsageError(f'"{typed}" is not a day and a count, such as 6=17.') from None
