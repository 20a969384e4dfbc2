"""Plants made, planted and given, summed from the moves of the ledger by year and kind."""

import datetime as dt
from collections.abc import Callable, Iterable, Sequence

from propagate.ledger import IN_TRAY, BatchState, Kind, moved, net_into
from propagate.ledger.accounts import Move
from propagate.names import PlantName
from propagate.planning.case import RAISED
from propagate.planning.courses import IN_POTS
from propagate.records.worth import Holding, Worth, YearYield, Yield

PriceOf = Callable[[PlantName], float | None]
"""What a plant is worth, None where nobody says."""


def worth(states: Iterable[BatchState], price_of: PriceOf, as_of: dt.date) -> Worth:
    """Every year in which anything moved up to a day, the latest first, and what stands here."""
    by_name: dict[PlantName, list[BatchState]] = {}
    for state in sorted(states, key=lambda state: str(state.name)):
        by_name.setdefault(state.name, []).append(state)
    moves = {
        name: [move for state in members for move in state.moves if move.on <= as_of]
        for name, members in by_name.items()
    }
    years = sorted({move.on.year for of in moves.values() for move in of}, reverse=True)
    here = _here(by_name, price_of)
    return Worth(
        as_of=as_of,
        years=tuple(_year(year, moves, price_of) for year in years),
        here=here,
        here_value=_sum(holding.value for holding in here),
    )


def _year(year: int, moves: dict[PlantName, list[Move]], price_of: PriceOf) -> YearYield:
    kinds = [
        _yield(name, [move for move in of if move.on.year == year], price_of(name))
        for name, of in moves.items()
        if any(move.on.year == year for move in of)
    ]
    total = Yield(
        None,
        sum(kind.started for kind in kinds),
        sum(kind.made for kind in kinds),
        sum(kind.planted for kind in kinds),
        sum(kind.given for kind in kinds),
        sum(kind.lost for kind in kinds),
        _sum(kind.value for kind in kinds),
    )
    return YearYield(year, tuple(kinds), total)


def _yield(name: PlantName, moves: Sequence[Move], price: float | None) -> Yield:
    planted, given = net_into(moves, (Kind.PLANTED,)), net_into(moves, (Kind.GIVEN,))
    return Yield(
        plant=name,
        started=sum(move.count for move in moves if move.source is None),
        made=moved(moves, IN_TRAY, RAISED) - moved(moves, RAISED, IN_TRAY),
        planted=planted,
        given=given,
        lost=net_into(moves, (Kind.LOST,)),
        value=None if price is None else price * (planted + given),
    )


def _here(by_name: dict[PlantName, list[BatchState]], price_of: PriceOf) -> tuple[Holding, ...]:
    made = []
    for name, members in by_name.items():
        plants, price = sum(state.total(*IN_POTS) for state in members), price_of(name)
        if plants:
            made.append(Holding(name, plants, None if price is None else price * plants))
    return tuple(made)


def _sum(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) if known else None
