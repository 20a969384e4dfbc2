"""When plants are fit to leave the book, for a bed or a new owner, lot by lot."""

import datetime as dt
from collections.abc import Iterable

from attrs import frozen

from propagate.ledger import IN_TRAY, Kind
from propagate.planning.case import Case
from propagate.planning.readiness import HARDEN_DAYS
from propagate.planning.seasons import into_gate
from propagate.records.answers import PotOn
from propagate.records.methods import Gate
from propagate.records.nursery import Nursery


@frozen
class Lot:
    """Plants of one batch that stand alike, and the first day on which they are fit to go."""

    kinds: tuple[Kind, ...]
    count: int
    fit_on: dt.date


def planting_gate(case: Case) -> Gate:
    """The season in which plants of a batch may go out."""
    establishing = case.record.establishing
    return establishing.gate if establishing else "any"


def fit_on(case: Case, kind: Kind, nursery: Nursery, today: dt.date) -> dt.date | None:
    """The day on which those that came last into an account may be planted out.

    Potted plants have then established, hardening ones had their two weeks; None where
    nothing is known to wait for.
    """
    since, establishing = case.last_into(kind), case.record.establishing
    if since is None or (kind is Kind.POTTED and establishing is None):
        return None
    days = 0
    if kind is Kind.HARDENING:
        days = HARDEN_DAYS
    elif kind is Kind.POTTED and establishing is not None:
        days = establishing.middle_days
    date = since + dt.timedelta(days=days)
    return into_gate(date, case.state.on, planting_gate(case), nursery, today)


def lots(case: Case, window: PotOn, nursery: Nursery, today: dt.date) -> list[Lot]:
    """Everything of a batch that is here, the soonest fit first.

    What is in the tray is fit once it was potted on the likely day and has established.
    """
    return sorted(_lots(case, window, nursery, today), key=lambda lot: lot.fit_on)


def _lots(case: Case, window: PotOn, nursery: Nursery, today: dt.date) -> Iterable[Lot]:
    for kind in (Kind.READY, Kind.HARDENING, Kind.POTTED):
        if count := case.state.total(kind):
            yield Lot((kind,), count, fit_on(case, kind, nursery, today) or today)
    if count := case.state.total(*IN_TRAY):
        establishing = case.record.establishing
        lifted = max(window.likely, today)
        days = establishing.middle_days if establishing else 0
        date = lifted + dt.timedelta(days=days)
        gated = into_gate(date, case.state.on, planting_gate(case), nursery, today)
        yield Lot(IN_TRAY, count, gated)
