"""Which start a batch code of a book means, told by the end of its entry's id."""

from propagate.ledger import Book
from propagate.records.events import id_end


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
