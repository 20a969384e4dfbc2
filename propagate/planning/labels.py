"""What each tray label says, worked out from the batch and its forecast."""

from collections.abc import Iterable

from propagate.ledger import IN_TRAY
from propagate.planning.case import Case
from propagate.records.answers import BatchForecast
from propagate.records.nursery import Nursery
from propagate.records.prints import TrayLabel


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
    trays = case.state.started.trays
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
