"""A card for each bench: what should stand there, to be counted with wet hands."""

import datetime as dt
from collections.abc import Sequence

from propagate.ledger import LIVING, Kind
from propagate.planning.benches import Said, in_order, subject_of
from propagate.planning.case import Case
from propagate.planning.typed import GAP, check_typed
from propagate.records.nursery import Nursery
from propagate.records.worksheets import CheckCard, CheckCards, TrayCheck

IN_POTS = (Kind.POTTED, Kind.HARDENING, Kind.READY)


def check_cards(cases: Sequence[Case], nursery: Nursery, said: Said, today: dt.date) -> CheckCards:
    """A card for every place at which living plants stand."""
    by_place: dict[str, list[Case]] = {}
    for case in cases:
        if case.state.living:
            by_place.setdefault(case.state.place, []).append(case)
    cards = []
    for place in in_order(by_place, nursery):
        ordered = sorted(by_place[place], key=lambda case: (case.state.name, case.state.code))
        cards.append(CheckCard(place, tuple(_check(case, said) for case in ordered)))
    return CheckCards(nursery.name, today, tuple(cards))


def _check(case: Case, said: Said) -> TrayCheck:
    state = case.state
    pots = state.total(*IN_POTS)
    tray = state.total(*LIVING) - pots
    code = state.code
    fullest = max(IN_POTS, key=state.total)
    typed = (check_typed(code), f"lose {code} {GAP} --from {fullest}")
    return TrayCheck(
        subject=subject_of(case, said),
        waiting=state.total(Kind.WAITING),
        rooted=state.total(Kind.ROOTED),
        pots=pots,
        waiting_word=case.method.waiting,
        rooted_word=case.method.taken,
        trays=", ".join(state.trays),
        last_check=state.last_check,
        typed=tuple(text for text, there in zip(typed, (tray, pots), strict=True) if there),
    )
