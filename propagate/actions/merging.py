"""Merge another copy of the book into this one, and settle what the two told differently."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from attrs import frozen

from propagate.actions.desk import Desk
from propagate.actions.recording import Dated, record_all
from propagate.actions.telling import entry_said
from propagate.days import written
from propagate.errors import NotFound, Refused
from propagate.ledger import Book
from propagate.records import events
from propagate.records.events import Entry
from propagate.store import opening
from propagate.store.merging import marks

ONCE, TWICE, DROP = "once", "twice", "drop"


@frozen
class NewCode:
    """A batch that goes by another code since two copies had given the same one twice."""

    was: str
    now: str
    plant: str
    by: str


@frozen
class Question:
    """Something that two copies told differently, for the grower to settle.

    `number` is the place of the entry in question; `answers` are the words that settle it.
    """

    number: int
    said: str
    answers: tuple[str, ...]


@frozen
class Merged:
    """How many entries came in, which batches have a new code, and what is to be settled."""

    entries: int
    recoded: tuple[NewCode, ...]
    questions: tuple[Question, ...]


def merge(desk: Desk, other: str) -> Merged:
    """Take in the entries of another copy: a folder, a book file, an export, or a URL.

    The other copy is only read. Raises Refused, with nothing changed, when the two books say
    different things in one entry.
    """
    theirs = _entries_of(other)
    desk.back_up_if_due()
    with desk.store.writing() as writing:
        ours = writing.entries()
        made = marks(ours, theirs)
        added = writing.take_in([*theirs, *made])
    desk.forget()
    here = {entry.id for entry in ours}
    fresh = [entry for entry in desk.book.entries if entry.id not in here]
    return Merged(added, tuple(_new_codes(desk.book, fresh)), questions(desk.book))


def _entries_of(other: str) -> tuple[Entry, ...]:
    if not opening.is_url(other):
        return opening.entries_of(Path(other))
    with opening.open_book(Path(), other) as book:
        return book.entries()


def _new_codes(book: Book, entries: Sequence[Entry]) -> Iterator[NewCode]:
    for entry in entries:
        if isinstance(entry.event, events.Recoded):
            start = book.by_id[entry.event.start]
            assert isinstance(start.event, events.Started)
            yield NewCode(entry.event.was, entry.event.batch, str(start.event.plant), who(start))


def questions(book: Book) -> tuple[Question, ...]:
    """What is to be settled, in the order of the entries in question."""
    if not (book.conflicts or book.open_pairs()):
        return ()  # most books; their entries need not be read
    by_id, doubted = book.by_id, _doubted(book)
    asked = [_twice(by_id[first], by_id[second]) for second, first in doubted.items()]
    asked += [
        Question(
            conflict.entry.seq,
            f"{_told(conflict.entry)}; that cannot be so beside the other entries, and does not "
            f"count: {conflict.what}",
            (DROP,),
        )
        for conflict in book.conflicts
        if conflict.entry.id not in doubted
    ]
    return tuple(sorted(asked, key=lambda question: question.number))


def _doubted(book: Book) -> dict[str, str]:
    """The first entry of each open pair, by its second."""
    return {second: first for first, second in book.open_pairs()}


def _twice(first: Entry, second: Entry) -> Question:
    return Question(
        second.seq,
        f"{_told(first)}; {_told(second)}. Did it happen once or twice?",
        (ONCE, TWICE),
    )


def _told(entry: Entry) -> str:
    words = (getattr(entry.event, "batch", ""), entry_said(entry))
    return f"{who(entry)} wrote of {written(entry.on)}: {' '.join(filter(None, words))}"


def who(entry: Entry) -> str:
    """Who wrote an entry and on what, as far as it says."""
    device = f" ({entry.device})" if entry.device else ""
    return (entry.by or "somebody") + device


def settle(desk: Desk, number: int, answer: str) -> Entry:
    """Settle the question about the entry of this number.

    Raises NotFound when there is no such question, and Refused for a word that is no answer.
    """

    def settled(book: Book) -> list[Dated]:
        question = next((q for q in questions(book) if q.number == number), None)
        if question is None:
            raise NotFound(f"There is no question about an entry {number}; see: propagate settle.")
        if answer not in question.answers:
            raise Refused(f'"{answer}" settles nothing here; say {" or ".join(question.answers)}.')
        entry = book.entries[number - 1]
        first = _doubted(book).get(entry.id, "")
        if answer == TWICE:
            return [Dated(events.Settled(first, entry.id), desk.today)]
        why = "told twice" if answer == ONCE else "cannot be so beside the others"
        return [Dated(events.Voided(entry.id, why), desk.today)]

    return record_all(desk, settled)[-1]
