"""What was made, given and planted, as an answer, as JSON and as a file."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from attrs import evolve

from propagate.actions.desk import Desk
from propagate.actions.meaning import batches_meant
from propagate.errors import NotFound, Refused
from propagate.ledger import fold
from propagate.names import PlantName
from propagate.nearness import folded
from propagate.paper.csvfiles import Cell, write_rows
from propagate.planning.worth import PriceOf, worth
from propagate.records.worth import Worth, Yield

ANY_PLANT: Final = "any plant"
"""The key of the price of a plant that has none of its own."""

HEADER: Final = ("year", "plant", "started", "made", "planted", "given", "lost", "value")


def worth_of(desk: Desk, what: Sequence[str] = (), year: int | None = None) -> Worth:
    """Every year and kind of the book up to today, or only some plants, or one year.

    Raises NotFound for a plant that the book does not have or a price's plant that the library
    does not know, Refused for a year in which nothing happened.
    """
    book = fold(desk.book.entries, until=desk.today)
    wanted = {code for text in what for code in batches_meant(desk, text)}
    states = [s for code, s in book.batches.items() if not what or code in wanted]
    answer = worth(states, prices(desk), desk.today)
    if year is None:
        return answer
    years = tuple(one for one in answer.years if one.year == year)
    if not years:
        raise Refused(f"Nothing is in the book for {year}.")
    return evolve(answer, years=years)


def prices(desk: Desk) -> PriceOf:
    """What a plant is worth by the settings: as a variety, else as a kind, else as any plant."""
    by_name: dict[str, float] = {}
    for typed, price in desk.nursery.prices.items():
        if folded(typed) != folded(ANY_PLANT):
            by_name[_priced(desk, typed)] = price
    usual = {folded(name): price for name, price in desk.nursery.prices.items()}
    other = usual.get(folded(ANY_PLANT))

    def price_of(name: PlantName) -> float | None:
        return by_name.get(str(name), by_name.get(name.species_name, other))

    return price_of


def _priced(desk: Desk, typed: str) -> str:
    try:
        return str(desk.library.resolve(typed))
    except NotFound as error:
        raise Refused(f'nursery.toml, prices, "{typed}": {error}') from error


def worth_view(answer: Worth) -> dict[str, Any]:
    """The answer as JSON has it; values are null where no price is known."""
    return {
        "as_of": answer.as_of.isoformat(),
        "years": [
            {
                "year": one.year,
                "kinds": [_yield_view(kind) for kind in one.kinds],
                "total": _yield_view(one.total),
            }
            for one in answer.years
        ],
        "here": [
            {"plant": str(held.plant), "plants": held.plants, "value": held.value}
            for held in answer.here
        ],
        "here_value": answer.here_value,
    }


def _yield_view(kind: Yield) -> dict[str, Any]:
    return {
        "plant": None if kind.plant is None else str(kind.plant),
        "started": kind.started,
        "made": kind.made,
        "planted": kind.planted,
        "given": kind.given,
        "lost": kind.lost,
        "value": kind.value,
    }


def write_worth(answer: Worth, path: Path) -> Path:
    """Write every year and kind into a .csv file; raises Refused for another ending."""
    if path.suffix.lower() != ".csv":
        raise Refused(f'"{path.name}" should end in .csv.')
    return write_rows(path, HEADER, [_row(one.year, k) for one in answer.years for k in one.kinds])


def _row(year: int, kind: Yield) -> tuple[Cell, ...]:
    counts = (kind.started, kind.made, kind.planted, kind.given, kind.lost)
    return (year, str(kind.plant), *counts, "" if kind.value is None else round(kind.value, 2))
