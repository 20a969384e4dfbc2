"""What the journal adds up to: the state of each batch, mother plant and of the whole book."""

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable
from copy import copy
from typing import Any

from attrs import Factory, define, fields, frozen

from propagate.errors import NotFound
from propagate.ledger.accounts import GROWN, LIVING, Account, Kind, Look, Move
from propagate.names import PlantName
from propagate.records.events import (
    Cleared,
    Entry,
    LabelsPrinted,
    NameSettled,
    Recoded,
    Started,
    StockPlantAdded,
    Suspected,
    Wanted,
)
from propagate.records.families import Doubt
from propagate.records.standing import Standing
from propagate.worded import worded


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
    moved_into: tuple[str, ...] = ()
    containers: list[tuple[dt.date, str]] = Factory(list)
    steps: dict[str, dt.date] = Factory(dict)
    promised: Counter[str] = Factory(Counter)
    offered: int = 0
    last_check: dt.date | None = None
    printed_seq: int = 0
    printed: tuple[dt.date, LabelsPrinted] | None = None
    renamed_seq: int = 0
    parted_seq: int = 0
    doubts: tuple[Doubt, ...] = ()
    doubted_seq: int = 0
    last_on: dt.date = dt.date.min

    def begun_anew(self) -> "BatchState":
        """A state of the same batch before any of its own entries; names and labels stay."""
        fresh = BatchState(self.started, self.on, self.name, self.entry_seq, self.entry_id)
        labels = ("printed_seq", "printed", "renamed_seq", "parted_seq", "doubts", "doubted_seq")
        for name in labels:
            setattr(fresh, name, getattr(self, name))
        return fresh

    def copied(self) -> "BatchState":
        """A state that can be changed without changing this one."""
        held: dict[str, Any] = {}
        for field in fields(BatchState):
            value = getattr(self, field.name)
            held[field.name] = copy(value) if isinstance(value, list | dict) else value
        return BatchState(**held)

    @property
    def trays(self) -> tuple[str, ...]:
        """Names of the trays it fills now."""
        return self.moved_into or self.started.trays

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
        """Whether a label is out there that no longer says what is true, or not all of it.

        Its name was put right, some of what it counts is a batch of its own, or it is silent
        on a doubt.
        """
        untrue = max(self.renamed_seq, self.parted_seq, self.doubted_seq)
        return 0 < self.printed_seq < untrue

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


class Indices:
    """Where to find the entries of a book by id and by batch, and what was ever given."""

    def __init__(self) -> None:
        self.by_id: dict[str, Entry] = {}
        self.by_batch: dict[str, list[Entry]] = {}
        self.codes: set[str] = set()
        self.kin_was_spoken_of = False

    def add(self, entry: Entry) -> None:
        """Note one more entry."""
        event = entry.event
        self.by_id[entry.id] = entry
        if code := getattr(event, "batch", ""):
            self.by_batch.setdefault(code, []).append(entry)
        if isinstance(event, Started | Recoded):
            self.codes.add(event.batch)
        if isinstance(event, Recoded):
            self.codes.add(event.was)
        self.kin_was_spoken_of |= isinstance(event, NameSettled | Suspected | Cleared)


@define
class Book:
    """The whole journal, folded.

    `conflicts` is empty in a book that was accepted; two books merged may bring some, for the
    grower to settle. `misprints` are entries of labels printed under a code that their batch
    has no more, each with the code it has now. `taken` holds the batches of each mother
    plant, `raised` the mother plants of each batch, `parts` the batches that were parted from
    it, which stand there and not below the mother of both. Whoever came from somebody was
    entered after them, so that no family runs in a ring. `pairs` holds the ids of entries that
    may tell of one thing twice, and whether somebody said that they do not.
    """

    _raw: list[Entry] = Factory(list)
    _written: list[Entry] = Factory(list)
    voided: frozenset[str] = frozenset()
    misprints: frozenset[tuple[str, str]] = frozenset()
    batches: dict[str, BatchState] = Factory(dict)
    stock_plants: dict[str, StockPlantState] = Factory(dict)
    wants: dict[tuple[str, str], WantState] = Factory(dict)
    conflicts: list[Conflict] = Factory(list)
    pairs: dict[tuple[str, str], bool] = Factory(dict)
    taken: dict[str, list[str]] = Factory(dict)
    raised: dict[str, list[str]] = Factory(dict)
    parts: dict[str, list[str]] = Factory(dict)
    _indices: Indices | None = None
    _tuple: tuple[Entry, ...] | None = None
    _before: tuple[int, str] = (0, "")
    _earlier: Callable[[], list[Entry]] | None = None

    def stand_after(self, seq: int, key: str, earlier: Callable[[], list[Entry]]) -> None:
        """Be the state after entry `seq` of this id; `earlier` reads those up to it if asked."""
        self._before, self._earlier = (seq, key), earlier

    @property
    def raw(self) -> list[Entry]:
        """Every entry as it was written."""
        self._read_earlier()
        return self._raw

    def _read_earlier(self) -> None:
        if self._earlier is not None:
            earlier = self._earlier()
            self._raw[:0], self._written[:0] = earlier, earlier
            self._before, self._earlier = (0, ""), None

    @property
    def recoded(self) -> bool:
        """Whether batches go by other codes than they were started under."""
        return any(new is not old for new, old in zip(self._written, self._raw, strict=True))

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Every entry, in the order written, under the codes that batches have now."""
        if self._tuple is None:
            self._read_earlier()
            self._tuple = tuple(self._written)
        return self._tuple

    @property
    def last(self) -> tuple[int, str]:
        """Place and id of the latest entry; (0, "") in an empty book."""
        if not self._raw:
            return self._before
        return self._before[0] + len(self._raw), self._raw[-1].id

    @property
    def index(self) -> Indices:
        """Ways to find entries; made when first asked for, and kept up."""
        if self._indices is None:
            self._read_earlier()
            self._indices = Indices()
            for entry in self._written:
                self._indices.add(entry)
        return self._indices

    @property
    def by_id(self) -> dict[str, Entry]:
        """The entries under their ids."""
        return self.index.by_id

    def add(self, entry: Entry) -> None:
        """Put an entry after all others; the state is not touched."""
        self._raw.append(entry)
        self._written.append(entry)
        self._tuple = None
        if self._indices is not None:
            self._indices.add(entry)

    def cut(self, count: int) -> None:
        """Take the entries after the first `count` out again; the state is not touched."""
        keep = count - self._before[0]
        if len(self._raw) > keep:
            del self._raw[keep:], self._written[keep:]
            self._tuple = self._indices = None

    def batch(self, code: str) -> BatchState:
        """The batch of this code; raises NotFound when the book has none."""
        try:
            return self.batches[code]
        except KeyError:
            raise NotFound(worded("There is no batch {code} in this book.", code=code)) from None

    def open_pairs(self) -> list[tuple[str, str]]:
        """The pairs of entries of which nobody has said yet whether they tell of one thing."""
        open_ones = [pair for pair, settled in self.pairs.items() if not settled]
        return sorted(pair for pair in open_ones if not self.voided.intersection(pair))

    def effective(self) -> Iterable[Entry]:
        """Entries that count, in the order they were written."""
        return (entry for entry in self.entries if entry.id not in self.voided)
