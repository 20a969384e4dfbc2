"""What a store of the book must do, whichever database stands behind it."""

import datetime as dt
from contextlib import AbstractContextManager
from typing import Protocol

from propagate.records.events import Entry, Event, Hand

NOBODY = Hand()


class Writing(Protocol):
    """The book held for writing: nobody else writes until it is let go."""

    def entries(self) -> tuple[Entry, ...]:
        """Every entry, in the order written, as it stands while the book is held."""
        ...

    def asked(self, request: str) -> tuple[Entry, ...]:
        """The entries that this request brought when it came before; none when it is new."""
        ...

    def append(
        self,
        event: Event,
        on: dt.date,
        entered: dt.datetime,
        hand: Hand = NOBODY,
        about: str = "",
    ) -> Entry:
        """Add one entry; it is on disk when the `writing` block ends without an error."""
        ...


class BookStore(Protocol):
    """An append-only journal of entries that survives power loss once a write is accepted."""

    def entries(self) -> tuple[Entry, ...]:
        """Every entry, in the order written."""
        ...

    def latest(self) -> int:
        """The number of the latest entry, 0 in an empty book: tells whether anybody wrote."""
        ...

    def writing(self) -> AbstractContextManager[Writing]:
        """Hold the book: all that is appended inside is kept, or none of it."""
        ...

    def close(self) -> None:
        """Let go of the database."""
        ...
