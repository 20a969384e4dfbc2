"""The plants ledger: events in, accounts out. State is a fold over the journal, never stored."""

from propagate.ledger.accounts import GROWN, IN_TRAY, LIVING, Account, Kind, Look, Move
from propagate.ledger.family import arrivals, destinations_of, family
from propagate.ledger.flows import moved, net_into, standing_since
from propagate.ledger.fold import about, batch_codes, fold, voided_ids
from propagate.ledger.growing import Undo, grown
from propagate.ledger.state import BatchState, Book, Conflict, StockPlantState, WantState

__all__ = [
    "GROWN",
    "IN_TRAY",
    "LIVING",
    "Account",
    "BatchState",
    "Book",
    "Conflict",
    "Kind",
    "Look",
    "Move",
    "StockPlantState",
    "Undo",
    "WantState",
    "about",
    "arrivals",
    "batch_codes",
    "destinations_of",
    "family",
    "fold",
    "grown",
    "moved",
    "net_into",
    "standing_since",
    "voided_ids",
]
