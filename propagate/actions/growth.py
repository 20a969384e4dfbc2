"""What a write does to the book in memory: it grows, and can be taken back."""

from collections.abc import Callable, Sequence

from propagate.ledger import Book
from propagate.ledger import grown as grown_in_place
from propagate.records.events import Entry, id_end

Undo = Callable[[], None]


class StartEnds(dict[str, str]):
    """The end of the id that started each batch of a book, looked up when it is asked for."""

    def __init__(self, book: Book) -> None:
        super().__init__()
        self._book = book

    def get(self, code: str, default: str = "") -> str:  # type: ignore[override]
        """The end of the id, `default` for a batch that the book does not have."""
        if code not in self and code in self._book.batches:
            self[code] = id_end(self._book.batches[code].entry_id)
        return super().get(code, default)

    def setdefault(self, code: str, end: str) -> str:
        """Note the start of a new batch; that of a known one stays."""
        self[code] = self.get(code, end)
        return self[code]


def grown(
    book: Book, entries: Sequence[Entry], fold: Callable[[Sequence[Entry]], Book]
) -> tuple[Book, Undo]:
    """The book with these entries, changed in place or else folded anew; and the way back."""
    after, _, undo = grown_in_place(book, entries, fold)
    return after, undo


def conflicts_known(book: Book) -> Book:
    """A book with nothing but the conflicts of this one, to tell the new ones by."""
    return Book(conflicts=list(book.conflicts))


def nothing() -> None:
    """There is nothing to take back yet."""
