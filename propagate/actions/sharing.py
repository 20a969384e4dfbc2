"""Two people at one book: what changed since a page was shown, and a refusal that says so."""

from collections.abc import Sequence

from attrs import frozen

from propagate.actions.telling import entry_said
from propagate.errors import Refused
from propagate.ledger import Book, batch_codes
from propagate.records import events
from propagate.records.events import Entry
from propagate.records.given import ForecastGiven
from propagate.worded import in_a_row, worded

QUIET = (events.LabelsPrinted, ForecastGiven)
"""Entries that move no plants and change nothing a grower counts."""


class Outdated(Refused):
    """A form was filled in beside figures that are no longer so; `changes` says what happened."""

    def __init__(self, code: str, changes: Sequence[str]) -> None:
        self.changes = tuple(changes)
        super().__init__(
            worded(
                "Somebody else wrote about {code} meanwhile: {told}. Look again, please.",
                code=code,
                told=in_a_row(changes, "; "),
            )
        )


@frozen
class Seen:
    """How far whoever fills in a form has read: the latest entry, and how many of a batch.

    `of_batch` is None where no batch was looked at. It tells when an older entry came in late
    from another copy of the book.
    """

    latest: int
    of_batch: int | None = None


def last_seq(book: Book) -> int:
    """The number of the latest entry, 0 in an empty book: how far a page has read."""
    return book.entries[-1].seq if book.entries else 0


def seen_of(book: Book, code: str) -> Seen:
    """What a page that shows a batch has read of the book."""
    return Seen(last_seq(book), len(_about(book, code)))


def changes_since(book: Book, code: str, seen: Seen) -> list[str]:
    """What was written about a batch that was not seen, in words, in the order of writing."""
    by_id = {entry.id: entry for entry in book.entries}
    about = _about(book, code)
    after = [entry for entry in about if entry.seq > seen.latest]
    unseen = len(about) - seen.of_batch if seen.of_batch is not None else len(after)
    late = about[-unseen:] if unseen > len(after) else after
    return [_said_by(entry.by, _said(entry, by_id)) for entry in late]


def refuse_outdated(book: Book, code: str, seen: Seen) -> None:
    """Raise Outdated when something was written about a batch that was not seen."""
    if changes := changes_since(book, code, seen):
        raise Outdated(code, changes)


def _about(book: Book, code: str) -> list[Entry]:
    """The entries that change a batch, in the order of writing."""
    by_id = {entry.id: entry for entry in book.entries}
    return [entry for entry in book.entries if _changes(entry, code, by_id)]


def _changes(entry: Entry, code: str, by_id: dict[str, Entry]) -> bool:
    event = entry.event
    if isinstance(event, events.Voided):
        voided = by_id.get(event.entry)
        return voided is not None and _changes(voided, code, by_id)
    return not isinstance(event, QUIET) and code in batch_codes(event)


def _said_by(name: str, what: str) -> str:
    return in_a_row([name, what], ": ") if name else what


def _said(entry: Entry, by_id: dict[str, Entry]) -> str:
    event = entry.event
    if isinstance(event, events.Voided) and event.entry in by_id:
        return worded("taken back: {what}", what=_said(by_id[event.entry], by_id))
    return entry_said(entry)
