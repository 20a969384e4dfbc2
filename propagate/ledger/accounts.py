"""Where a propagule can stand: at any moment each of a batch's stands in exactly one account."""

import datetime as dt
from enum import StrEnum

from attrs import frozen


class Kind(StrEnum):
    """The kinds of account, in the order a plant passes through them."""

    WAITING = "waiting"
    ROOTED = "rooted"
    POTTED = "potted"
    HARDENING = "hardening"
    READY = "ready"
    PLANTED = "planted"
    GIVEN = "given"
    LOST = "lost"
    MISCOUNTED = "miscounted"


IN_TRAY = (Kind.WAITING, Kind.ROOTED)
LIVING = (*IN_TRAY, Kind.POTTED, Kind.HARDENING, Kind.READY)
GROWN = (Kind.READY, Kind.HARDENING, Kind.POTTED, Kind.ROOTED)


@frozen(order=True)
class Account:
    """One account of a batch; `detail` is the bed, the receiver or the cause of loss."""

    kind: Kind
    detail: str = ""

    def __str__(self) -> str:
        return f"{self.kind}: {self.detail}" if self.detail else str(self.kind)


@frozen
class Move:
    """A number of plants going from one account to another on a day, and the entry's id.

    `source` is None where plants enter the batch: at the start, or by a recount upwards. They
    are fewer than none where some of what was started is a batch of its own.
    """

    entry: str
    on: dt.date
    source: Account | None
    target: Account
    count: int


@frozen
class Look:
    """What the waiting propagules told on a day, as evidence for the forecast.

    `rooted` and `dead` are newly found; `rooted` None means nobody counted roots. With
    `sample`, both are out of so many drawn from the `tray` (waiting and rooted together, of
    which `known_rooted` were known before). `sought` says that the dead were counted, so that
    none found means that none were there. `taken` left the tray as rooted while the rest
    were not examined; `gone` left for reasons that say nothing about rooting.
    """

    on: dt.date
    rooted: int | None = None
    dead: int = 0
    sought: bool = False
    sample: int | None = None
    known_rooted: int = 0
    taken: int = 0
    gone: int = 0
