"""What a store of the book must do, whichever database stands behind it."""

import datetime as dt
from collections.abc import Iterable
from contextlib import AbstractContextManager
from typing import Protocol

from propagate.records.events import Entry, Event, Hand

NOBODY = Hand()


class Reading(Protocol):
    """The entries of a book."""

    def entries(self, after: int = 0) -> tuple[Entry, ...]:
        """Every entry whose place is beyond `after`, in the order written."""
        ...

    def last(self) -> tuple[int, str]:
        """Place and id of the latest entry; (0, "") in an empty book."""
        ...

    def id_at(self, seq: int) -> str:
        """The id of the entry in this place, empty where there is none."""
        ...


class Writing(Reading, Protocol):
    """The book held for writing: nobody else writes until it is let go."""

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

    def take_in(self, entries: Iterable[Entry]) -> int:
        """Add entries of another copy under their own ids, each in its place; say how many."""
        ...


class BookStore(Reading, Protocol):
    """An append-only journal of entries that survives power loss once a write is accepted."""

    def writing(self) -> AbstractContextManager[Writing]:
        """Hold the book: all that is appended inside is kept, or none of it."""
        ...

    def latest(self) -> int:
        """The number of the latest entry, 0 in an empty book: tells whether anybody wrote."""
        ...

    def verify(self) -> None:
        """Look through every page; raises BrokenBook where the book cannot be trusted."""
        ...

    def close(self) -> None:
        """Let go of the database."""
        ...
