"""What the journal adds up to: the state of each batch, mother plant and of the whole book."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from functools import cached_property

from attrs import Factory, define, frozen

from propagate.errors import NotFound
from propagate.ledger.accounts import GROWN, LIVING, Account, Kind, Look, Move
from propagate.names import PlantName
from propagate.records.events import Entry, LabelsPrinted, Started, StockPlantAdded, Wanted
from propagate.records.families import Doubt
from propagate.records.standing import Standing


@define
class BatchState:
    """A batch as its entries leave it. Built by the fold only, never by hand."""

    started: Started
    on: dt.date
    name: PlantName
    entry_seq: int
    entry_id: str
    balances: Counter[Account] = Factory(Counter)
    moves: list[Move] = Factory(list)
    looks: list[Look] = Factory(list)
    places: list[tuple[dt.date, str]] = Factory(list)
    containers: list[tuple[dt.date, str]] = Factory(list)
    steps: dict[str, dt.date] = Factory(dict)
    promised: Counter[str] = Factory(Counter)
    offered: int = 0
    last_check: dt.date | None = None
    printed_seq: int = 0
    printed: tuple[dt.date, LabelsPrinted] | None = None
    renamed_seq: int = 0
    doubts: tuple[Doubt, ...] = ()
    doubted_seq: int = 0

    @property
    def code(self) -> str:
        """The batch code on its label."""
        return self.started.batch

    @property
    def count(self) -> int:
        """Propagules that ever entered the book for this batch: started, as recounted."""
        return sum(move.count for move in self.moves if move.source is None)

    @property
    def place(self) -> str:
        """Where the batch stands now."""
        return self.places[-1][1] if self.places else ""

    @property
    def needs_reprint(self) -> bool:
        """Whether a label is out there that says a name no longer true, or is silent on a doubt."""
        return 0 < self.printed_seq < max(self.renamed_seq, self.doubted_seq)

    def total(self, *kinds: Kind) -> int:
        """Plants standing in all accounts of these kinds."""
        return sum(n for account, n in self.balances.items() if account.kind in kinds)

    @property
    def living(self) -> int:
        """Plants still here and alive, rooted or not."""
        return self.total(*LIVING)

    @property
    def grown(self) -> int:
        """Plants here that are known to have rooted."""
        return self.total(*GROWN)

    @property
    def raised(self) -> int:
        """Plants that this batch has given so far: here, planted or given."""
        return self.grown + self.total(Kind.PLANTED, Kind.GIVEN)

    @property
    def for_sale(self) -> int:
        """Plants marked for sale that are still here and promised to nobody."""
        return min(self.offered, max(0, self.living - self.promised.total()))

    @property
    def standing(self) -> Standing:
        """The balances by kind, as a sheet shows them."""
        return Standing(**{kind.value: self.total(kind) for kind in Kind})

    def accounts(self) -> dict[str, int]:
        """Balances by account name: the waiting account always, others where not empty."""
        named = {str(a): n for a, n in sorted(self.balances.items()) if n}
        return {str(Kind.WAITING): 0, **named}

    def explain(self, *kinds: Kind) -> tuple[Move, ...]:
        """The moves in and out of these accounts, in order: why the figure is what it is."""
        return tuple(
            move
            for move in self.moves
            if move.target.kind in kinds or (move.source and move.source.kind in kinds)
        )


@define
class StockPlantState:
    """A mother plant as its entries leave it."""

    added: StockPlantAdded
    on: dt.date
    name: PlantName
    doubts: tuple[Doubt, ...] = ()


@frozen
class WantState:
    """What is wanted in a bed, as it was last said, and the day and entry that said so."""

    said: Wanted
    on: dt.date
    entry: str


@frozen
class Conflict:
    """An entry that cannot be so beside the others, and why."""

    entry: Entry
    what: str


@define
class Book:
    """The whole journal, folded. `conflicts` is empty in a book that was accepted.

    `taken` holds the batches of each mother plant, `raised` the mother plants of each batch.
    Whoever came from somebody was entered after them, so that no family runs in a ring.
    """

    entries: tuple[Entry, ...] = ()
    voided: frozenset[str] = frozenset()
    batches: dict[str, BatchState] = Factory(dict)
    stock_plants: dict[str, StockPlantState] = Factory(dict)
    wants: dict[tuple[str, str], WantState] = Factory(dict)
    conflicts: list[Conflict] = Factory(list)
    taken: dict[str, list[str]] = Factory(dict)
    raised: dict[str, list[str]] = Factory(dict)

    @cached_property
    def by_id(self) -> dict[str, Entry]:
        """The entries under their ids."""
        return {entry.id: entry for entry in self.entries}

    def batch(self, code: str) -> BatchState:
        """The batch of this code; raises NotFound when the book has none."""
        try:
            return self.batches[code]
        except KeyError:
            raise NotFound(f"There is no batch {code} in this book.") from None

    def effective(self) -> Iterable[Entry]:
        """Entries that count, in the order they were written."""
        return (entry for entry in self.entries if entry.id not in self.voided)
