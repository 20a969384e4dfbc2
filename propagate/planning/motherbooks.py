"""The register of mother plants: who they are, and what was raised from them."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence

from propagate.ledger import BatchState, Kind, StockPlantState
from propagate.names import PlantName
from propagate.records.worksheets import Mother, MotherRegister


def mother_register(
    mothers: Mapping[str, StockPlantState],
    batches: Sequence[BatchState],
    common_of: Callable[[PlantName], str],
    nursery: str,
    today: dt.date,
) -> MotherRegister:
    """Every mother by plant, then by her short name, with the sums over her batches."""
    taken: dict[str, list[BatchState]] = {}
    for state in batches:
        taken.setdefault(state.started.stock_plant, []).append(state)
    ordered = sorted(mothers.items(), key=lambda pair: (pair[1].name, pair[0]))
    return MotherRegister(
        nursery=nursery,
        as_of=today,
        mothers=tuple(
            _mother(key, state, taken.get(key, []), common_of(state.name)) for key, state in ordered
        ),
        unknown=len(taken.get("", [])),
    )


def _mother(key: str, state: StockPlantState, taken: list[BatchState], common: str) -> Mother:
    return Mother(
        key=key,
        name=state.name,
        common=common,
        since=state.on,
        place=state.added.place,
        raised_from=state.added.batch,
        note=state.added.note,
        batches=len(taken),
        taken=sum(batch.count for batch in taken),
        raised=sum(batch.raised for batch in taken),
        waiting=sum(batch.total(Kind.WAITING) for batch in taken),
        last_taken=max((batch.on for batch in taken), default=None),
    )
