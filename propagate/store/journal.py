"""The journal itself: one table of entries, read and added to in SQL that every database speaks.

`seq` is dense, from 1, and follows the order of the ids. Only taking in entries of another copy
changes it, never what an entry says.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from propagate.errors import BrokenBook
from propagate.records.events import Entry, Event, Hand
from propagate.store import codec
from propagate.store.ids import next_id
from propagate.store.interface import NOBODY

COLUMNS = "seq, id, on_day, entered, kind, body, by_whom, device, request, about"
INSERT = f"INSERT INTO entry ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
Row = tuple[Any, ...]
Run = Callable[[str, Sequence[Any]], Iterable[Row]]
"""A database's way of running one statement, with ? where a value goes; gives its rows."""


class Journal:
    """The entries, through one connection; a Writing while that holds the book."""

    def __init__(self, run: Run) -> None:
        self._run = run

    def entries(self, after: int = 0) -> tuple[Entry, ...]:
        """Every entry whose place is beyond `after`, in the order written."""
        rows = self._run(f"SELECT {COLUMNS} FROM entry WHERE seq > ? ORDER BY seq", (after,))
        return tuple(entry_of(row) for row in rows)

    def last(self) -> tuple[int, str]:
        """Place and id of the latest entry; (0, "") in an empty book."""
        rows = self._run("SELECT seq, id FROM entry ORDER BY seq DESC LIMIT 1", ())
        return next(((int(seq), str(key)) for seq, key in rows), (0, ""))

    def id_at(self, seq: int) -> str:
        """The id of the entry in this place, empty where there is none."""
        rows = self._run("SELECT id FROM entry WHERE seq = ?", (seq,))
        return next((str(key) for (key,) in rows), "")

    def asked(self, request: str) -> tuple[Entry, ...]:
        """The entries that this request brought when it came before; none when it is new."""
        if not request:
            return ()
        rows = self._run(
            f"SELECT {COLUMNS} FROM entry WHERE request = ? AND request <> '' ORDER BY seq",
            (request,),
        )
        return tuple(entry_of(row) for row in rows)

    def append(
        self,
        event: Event,
        on: dt.date,
        entered: dt.datetime,
        hand: Hand = NOBODY,
        about: str = "",
    ) -> Entry:
        """Add one entry after all others."""
        seq, key = self.last()
        told = (hand.by, hand.device, hand.request, about)
        entry = Entry(seq + 1, next_id(entered, key), on, entered, event, *told)
        self._run(INSERT, row_of(entry))
        return entry

    def take_in(self, entries: Iterable[Entry]) -> int:
        """Add entries of another copy under their own ids, each in its place; say how many.

        Those that are here already are left out.
        """
        given = {entry.id: entry for entry in entries}
        here = {str(key) for (key,) in self._run("SELECT id FROM entry", ())}
        new = sorted(set(given) - here)
        if not new:
            return 0
        rows = self._run("SELECT seq, id FROM entry WHERE id > ? ORDER BY seq", (new[0],))
        moved = {str(key): int(seq) for seq, key in rows}
        first = min(moved.values(), default=self.last()[0] + 1)
        # Out of the way first: no two entries may ever have one place.
        self._run("UPDATE entry SET seq = -seq WHERE seq >= ?", (first,))
        for seq, key in enumerate(sorted([*moved, *new]), start=first):
            if key in moved:
                self._run("UPDATE entry SET seq = ? WHERE seq = ?", (seq, -moved[key]))
            else:
                self._run(INSERT, (seq, *row_of(given[key])[1:]))
        return len(new)


def row_of(entry: Entry) -> Row:
    """An entry as its row in the table."""
    return (
        entry.seq,
        entry.id,
        entry.on.isoformat(),
        entry.entered.isoformat(),
        codec.kind_of(entry.event),
        codec.dump(entry.event),
        entry.by,
        entry.device,
        entry.request,
        entry.about,
    )


def entry_of(row: Row) -> Entry:
    """A row of the table as an entry; raises BrokenBook when it cannot be one."""
    seq, key, on_day, entered, kind, body, *told = row
    try:
        on, written = dt.date.fromisoformat(on_day), dt.datetime.fromisoformat(entered)
    except ValueError as error:
        raise BrokenBook(f"The book holds an entry whose day cannot be read ({seq}).") from error
    return Entry(seq, key, on, written, codec.load(kind, body), *told)


def ordered(entries: Iterable[Entry]) -> Iterator[Entry]:
    """Entries by id: the order in which they stand in every copy."""
    return iter(sorted(entries, key=lambda entry: entry.id))
