"""Add entries to a folded book without folding it anew, where they touch one batch alone.

Most entries are of one batch and no other. Then it is enough to post the entry to that batch
or, where it comes late or takes an earlier one back, to post that batch's entries anew. What
touches more (a name settled, a void of a start) is left to the fold. Whoever grows a book holds
the means to take it back, so that a refusal leaves the book as it was.
"""

from collections.abc import Callable, Sequence

from propagate.errors import PropagateError
from propagate.ledger.fold import batch_codes, fold, post_one
from propagate.ledger.rules import LOCAL, post
from propagate.ledger.state import BatchState, Book, Conflict
from propagate.records import events
from propagate.records.events import Entry
from propagate.records.given import ForecastGiven

Undo = Callable[[], None]


def grown(
    book: Book, entries: Sequence[Entry], otherwise: Callable[[Sequence[Entry]], Book] = fold
) -> tuple[Book, list[Conflict], Undo]:
    """The book with these entries after all others, the conflicts they bring, and the way back.

    It is the book itself, changed in place, where that is possible; until the way back is
    taken, or for good. A conflict is new when its entry was in none before.
    """
    growth = _Growth(book)
    if all(growth.add(entry) for entry in entries):
        return book, growth.fresh, growth.undo
    growth.undo()
    after = otherwise((*book.raw, *entries))
    before = {conflict.entry.id for conflict in book.conflicts}
    fresh = [conflict for conflict in after.conflicts if conflict.entry.id not in before]
    return after, fresh, lambda: None


class _Growth:
    """One attempt to grow a book in place, remembering what it changed."""

    def __init__(self, book: Book) -> None:
        self.book, self.fresh = book, list[Conflict]()
        self._count, self._voided = book.last[0], book.voided
        self._conflicts = list(book.conflicts)
        self._states: dict[str, BatchState | None] = {}
        self._mothers: list[str] = []

    def undo(self) -> None:
        """Put the book back as it was."""
        self.book.cut(self._count)
        self.book.voided = self._voided
        self.book.conflicts[:] = self._conflicts
        for code, state in self._states.items():
            if state is None:
                self.book.batches.pop(code, None)
            else:
                self.book.batches[code] = state
        for key in self._mothers:
            self.book.stock_plants.pop(key, None)

    def add(self, entry: Entry) -> bool:
        """Add one entry; False where the fold has to do it."""
        event = entry.event
        if type(event) in LOCAL:
            done = self._local(entry)
        elif isinstance(event, events.Started):
            done = self._start(entry, event)
        elif isinstance(event, events.StockPlantAdded):
            done = self._mother(entry, event)
        elif isinstance(event, events.LabelsPrinted):
            done = self._print(entry, event)
        elif isinstance(event, events.Voided):
            return self._void(entry, event)
        else:
            done = isinstance(event, ForecastGiven)
        if done:
            self.book.add(entry)
        return done

    def _state(self, code: str) -> BatchState:
        """The batch's state, to be changed; the old one is kept for the way back."""
        state = self.book.batches[code]
        if code not in self._states:
            self._states[code] = state
            state = self.book.batches[code] = state.copied()
        return state

    def _local(self, entry: Entry) -> bool:
        code = batch_codes(entry.event)[0]
        if code not in self.book.batches or self._disputed(code):
            return False
        state = self._state(code)
        if entry.on < state.last_on:
            lines = sorted([*self._lines(code), entry], key=lambda line: (line.on, line.seq))
            return self._again(code, lines)
        self._post(entry)
        return True

    def _disputed(self, code: str) -> bool:
        """Whether an entry of this batch could not be so; another may change that."""
        return any(code in batch_codes(conflict.entry.event) for conflict in self.book.conflicts)

    def _post(self, entry: Entry) -> None:
        try:
            post_one(self.book, entry)
        except PropagateError as error:
            conflict = Conflict(entry, error.said)
            self.book.conflicts.append(conflict)
            self.fresh.append(conflict)

    def _lines(self, code: str) -> list[Entry]:
        """The entries that count and concern this batch alone, its start first."""
        wanted = LOCAL | {events.Started}
        lines = [e for e in self.book.index.by_batch.get(code, []) if type(e.event) in wanted]
        return [e for e in lines if e.id not in self.book.voided]

    def _again(self, code: str, lines: Sequence[Entry]) -> bool:
        """Post a batch's entries anew; names and prints are not touched by them."""
        if code in self.book.parts or self.book.batches[code].started.parted_from:
            return False  # some of its plants came from another batch, or are of another now
        state = self._state(code)
        start, *others = sorted(lines, key=lambda line: (line.on, line.seq))
        if not isinstance(start.event, events.Started):
            return False  # an entry dated before its batch: the fold says so
        fresh = self.book.batches[code] = state.begun_anew()
        post(fresh, start)
        for line in others:
            self._post(line)
        return True

    def _start(self, entry: Entry, event: events.Started) -> bool:
        if event.stock_plant or event.parted_from:
            return False  # a family: names and doubts run down it by day
        if event.batch in self.book.batches or event.batch in self.book.index.codes:
            return False
        self._states.setdefault(event.batch, None)
        self._post(entry)
        return True

    def _mother(self, entry: Entry, event: events.StockPlantAdded) -> bool:
        if event.batch or event.stock_plant in self.book.stock_plants or self.book.conflicts:
            return False
        self._mothers.append(event.stock_plant)
        self._post(entry)
        return True

    def _print(self, entry: Entry, event: events.LabelsPrinted) -> bool:
        if self.book.index.kin_was_spoken_of:
            return False  # what is taken back of a name or a doubt asks what was printed before
        for code in event.batches:
            if code not in self.book.batches or self.book.batches[code].on > entry.on:
                return False
        for code in event.batches:
            self._state(code)
        self._post(entry)
        return True

    def _void(self, entry: Entry, event: events.Voided) -> bool:
        """Take back an entry that concerns one batch alone."""
        voided = self.book.index.by_id.get(event.entry)
        if voided is None or voided.id in self.book.voided:
            return False
        if isinstance(voided.event, ForecastGiven):
            self.book.voided |= {event.entry}
            self.book.add(entry)
            return True
        code = next(iter(batch_codes(voided.event)), "")
        if type(voided.event) not in LOCAL or code not in self.book.batches:
            return False
        if self._disputed(code):
            return False
        self.book.voided |= {event.entry}
        self.book.add(entry)
        return self._again(code, self._lines(code))
