"""What each label says: a tray's from its batch and forecast, a bed's and a mother's too."""

import datetime as dt
from collections.abc import Callable, Iterable

from propagate.errors import NotFound, Refused
from propagate.ledger import IN_TRAY, BatchState, Book, Kind, StockPlantState
from propagate.names import PlantName
from propagate.nearness import folded, nearest
from propagate.planning.case import Case
from propagate.records.answers import BatchForecast
from propagate.records.labels import BedLabel, BedPlants, MotherLabel
from propagate.records.nursery import Nursery
from propagate.records.prints import TrayLabel
from propagate.worded import worded

IN_POTS = (Kind.POTTED, Kind.HARDENING, Kind.READY)

Named = Callable[[PlantName], str]
"""The usual name of a plant, empty where it has none."""


def tray_labels(
    case: Case,
    answer: BatchForecast,
    nursery: Nursery,
    *,
    common: str = "",
    cautions: tuple[str, ...] = (),
    copies: int | None = None,
) -> tuple[TrayLabel, ...]:
    """Labels of one batch: one for each of its trays, or `copies` of them."""
    trays = case.state.trays
    names: Iterable[str] = trays or [""]
    if copies is not None:
        names = [trays[at] if at < len(trays) else "" for at in range(copies)]
    return tuple(_label(case, answer, nursery, common, cautions, tray) for tray in names)


def _label(
    case: Case,
    answer: BatchForecast,
    nursery: Nursery,
    common: str,
    cautions: tuple[str, ...],
    tray: str,
) -> TrayLabel:
    state, method = case.state, case.method
    in_tray = state.total(*IN_TRAY) > 0
    count = state.count
    return TrayLabel(
        code=state.code,
        name=state.name,
        common=common,
        method=method.name,
        started=state.on,
        count=count,
        propagules=method.propagule if count == 1 else method.propagules,
        qr_text=f"{nursery.labels.label_url}{state.code}",
        stock_plant=state.started.stock_plant,
        place=state.place,
        tray=tray,
        nursery=nursery.name,
        pot_on_words=method.pot_on_words,
        early=answer.pot_on.early if in_tray else None,
        likely=answer.pot_on.likely if in_tray else None,
        late=answer.pot_on.late if in_tray else None,
        cautions=cautions,
    )


def pots_of(state: BatchState) -> int:
    """How many plants of a batch stand in pots; raises Refused when none does."""
    count = state.total(*IN_POTS)
    if not count:
        raise Refused(
            worded("{code} has nothing in pots yet; say how many with --copies.", code=state.code)
        )
    return count


def mother_label(
    state: StockPlantState, nursery: Nursery, common: str, cautions: tuple[str, ...]
) -> MotherLabel:
    """The tag of a mother plant."""
    return MotherLabel(
        key=state.added.stock_plant,
        name=state.name,
        common=common,
        since=state.on,
        place=state.added.place,
        nursery=nursery.name,
        cautions=cautions,
    )


def bed_label(book: Book, nursery: Nursery, bed: str, common: Named) -> BedLabel:
    """The marker of a bed with what was planted there, by plant, the largest number first.

    Raises NotFound for a bed that neither the settings nor the book know.
    """
    planted = _planted(book)
    known = {folded(name): name for name in known_beds(book, nursery)}
    if folded(bed) not in known:
        raise NotFound(
            worded('There is no bed "{name}".', name=bed), nearest(bed, known.values(), count=2)
        )
    name = known[folded(bed)]
    plants = [
        BedPlants(plant, common(plant), sum(n for n, _ in moves), max(on for _, on in moves))
        for plant, moves in planted.get(name, {}).items()
    ]
    plants.sort(key=lambda one: (-one.count, str(one.name)))
    return BedLabel(name, tuple(plants), nursery.name)


def known_beds(book: Book, nursery: Nursery) -> tuple[str, ...]:
    """The beds that the settings name, and any other that plants went to or are wanted in."""
    wanted = [want.said.bed for want in book.wants.values()]
    by_fold = {folded(name): name for name in [*wanted, *_planted(book), *nursery.beds]}
    return tuple(sorted(by_fold.values(), key=str.casefold))


def _planted(book: Book) -> dict[str, dict[PlantName, list[tuple[int, dt.date]]]]:
    """Plants that went into each bed: how many of which on what day."""
    beds: dict[str, dict[PlantName, list[tuple[int, dt.date]]]] = {}
    for state in book.batches.values():
        for move in state.moves:
            if move.target.kind is Kind.PLANTED and move.target.detail:
                plants = beds.setdefault(move.target.detail, {})
                plants.setdefault(state.name, []).append((move.count, move.on))
    return beds
