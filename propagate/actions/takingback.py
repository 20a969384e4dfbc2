"""Take entries back: the latest, or one by its number, with all that the same word brought.

Nothing is rubbed out: a later entry says that an earlier one does not count.
"""

from collections.abc import Iterable

from propagate.actions.desk import Desk
from propagate.actions.recording import Dated, record_all
from propagate.errors import NotFound, Refused
from propagate.ledger import Book, batch_codes
from propagate.records import events
from propagate.records.events import Entry, Event
from propagate.records.given import ForecastGiven
from propagate.worded import worded


def undo(desk: Desk) -> tuple[Entry, Entry]:
    """Void the latest entry that counts; return that entry and the void."""

    def last_voided(book: Book) -> list[Dated]:
        return _voids(desk, book, _last_counting(book), "undone")

    void = record_all(desk, last_voided)[0]
    assert isinstance(void.event, events.Voided)
    return _entry(desk.book, void.event.entry), void


def take_back(desk: Desk, entry_seq: int, *, request: str = "") -> Entry:
    """Void one entry, with what came into the book by the same word; return the entry.

    Raises NotFound when there is no such entry that counts, and Refused when others rest on it.
    """

    def voided(book: Book) -> list[Dated]:
        return _voids(desk, book, _counting(book, entry_seq), "undone")

    void = record_all(desk, voided, request=request)[0]
    assert isinstance(void.event, events.Voided)
    return _entry(desk.book, void.event.entry)


def void(desk: Desk, entry_seq: int, why: str) -> Entry:
    """Void the entry of this number, with what came into the book by the same word.

    Raises NotFound when there is none that counts.
    """

    def voided(book: Book) -> list[Dated]:
        return _voids(desk, book, _counting(book, entry_seq), why)

    return record_all(desk, voided)[0]


def _voids(desk: Desk, book: Book, chosen: Entry, why: str) -> list[Dated]:
    """What takes an entry back, and with it what came into the book by the same word."""
    written = [chosen, *_written_with(book, chosen)]
    return [Dated(events.Voided(entry.id, why), desk.today) for entry in written]


def _written_with(book: Book, entry: Entry) -> Iterable[Entry]:
    """What came into the book by the same word: a batch's mother, both sides of a parting."""
    yield from _parting_written_with(book, entry)
    if isinstance(entry.event, events.Started):
        for before in book.effective():
            same = before.seq == entry.seq - 1 and before.entered == entry.entered
            if same and isinstance(before.event, events.StockPlantAdded):
                yield before


def _parting_written_with(book: Book, entry: Entry) -> Iterable[Entry]:
    """The other entries of a parting: from the new batch's start to what left the old one."""
    part = _part_told_of(entry.event)
    if not part:
        return
    sides = [e for e in book.effective() if _part_told_of(e.event) == part]
    first, last = sides[0].seq, sides[-1].seq
    both = {code for side in sides for code in batch_codes(side.event)}
    for each in book.effective():
        concerned = not both.isdisjoint(batch_codes(each.event))
        if first <= each.seq <= last and concerned and each is not entry:
            yield each


def _part_told_of(event: Event) -> str:
    """The batch that a parting made, where the event is one of its two sides."""
    if isinstance(event, events.Parted):
        return event.into
    return event.batch if isinstance(event, events.Started) and event.parted_from else ""


def _counting(book: Book, entry_seq: int) -> Entry:
    chosen = next((e for e in book.effective() if e.seq == entry_seq), None)
    if chosen is None:
        raise NotFound(
            worded("There is no entry {number} that counts in this book.", number=entry_seq)
        )
    return chosen


def _last_counting(book: Book) -> Entry:
    own = (*events.OF_THE_BOOK, ForecastGiven)  # a kept forecast goes with its entry
    counting = [e for e in book.effective() if not isinstance(e.event, own)]
    if not counting:
        raise Refused("There is nothing to undo: the book is empty.")
    return counting[-1]


def _entry(book: Book, entry_id: str) -> Entry:
    return next(entry for entry in book.entries if entry.id == entry_id)
