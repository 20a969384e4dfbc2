"""The book in a SQLite file of the nursery folder.

Rollback journal (DELETE) with synchronous EXTRA: an accepted entry has been flushed, its
journal's removal too, before the command says so. Write-ahead logging would be faster, but
SQLite 3.7.0 to 3.51.2 can lose committed writes in it when two connections checkpoint at
the wrong moment (the WAL-reset fault, fixed in 3.51.3), and a potting bench writes seldom.
"""

import datetime as dt
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from propagate.errors import BrokenBook
from propagate.records.events import Entry, Event, Hand
from propagate.store import codec, schema
from propagate.store.ids import next_id
from propagate.store.interface import NOBODY

WAIT_SECONDS = 10.0
COLUMNS = "seq, id, on_day, entered, kind, body, by_whom, device, request, about"


class SqliteBook:
    """A BookStore in one file; use as a context manager or call close()."""

    def __init__(self, path: Path) -> None:
        """Open the book, making it when `path` does not exist.

        Raises BrokenBook when the file is damaged, foreign, or newer than this program.
        """
        self.path = path
        with _plainly(path):
            self._connection = sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
            try:
                self._prepare()
            except BaseException:
                self._connection.close()
                raise

    def _prepare(self) -> None:
        self._connection.execute("PRAGMA synchronous = EXTRA")
        self._connection.execute("PRAGMA trusted_schema = OFF")
        schema.migrate(self._connection)
        # Written into the file, so it comes after a foreign one has been refused.
        self._connection.execute("PRAGMA journal_mode = DELETE").fetchall()

    def __enter__(self) -> "SqliteBook":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def entries(self) -> tuple[Entry, ...]:
        """Every entry, in the order written."""
        with _plainly(self.path), closing(self._connection.cursor()) as cursor:
            rows = cursor.execute(f"SELECT {COLUMNS} FROM entry ORDER BY seq")
            return tuple(_entry(row) for row in rows)

    def latest(self) -> int:
        """The number of the latest entry, 0 in an empty book."""
        with _plainly(self.path), closing(self._connection.cursor()) as cursor:
            row = cursor.execute("SELECT coalesce(max(seq), 0) FROM entry").fetchone()
            return int(row[0])

    @contextmanager
    def writing(self) -> Iterator["SqliteWriting"]:
        """Hold the book against other writers; commit at the end, or undo all on an error."""
        with _plainly(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield SqliteWriting(self, self._connection)
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise


class SqliteWriting:
    """A Writing on an open transaction."""

    def __init__(self, book: SqliteBook, connection: sqlite3.Connection) -> None:
        self._book, self._connection = book, connection

    def entries(self) -> tuple[Entry, ...]:
        """Every entry, with those appended in this transaction."""
        return self._book.entries()

    def asked(self, request: str) -> tuple[Entry, ...]:
        """The entries that this request brought when it came before; none when it is new."""
        rows = self._connection.execute(
            f"SELECT {COLUMNS} FROM entry WHERE request = ? AND request <> '' ORDER BY seq",
            (request,),
        )
        return tuple(_entry(row) for row in rows.fetchall())

    def append(
        self,
        event: Event,
        on: dt.date,
        entered: dt.datetime,
        hand: Hand = NOBODY,
        about: str = "",
    ) -> Entry:
        """Add one entry to the transaction."""
        last = self._connection.execute("SELECT seq, id FROM entry ORDER BY seq DESC LIMIT 1")
        seq, key = last.fetchone() or (0, "")
        told = (hand.by, hand.device, hand.request, about)
        entry = Entry(seq + 1, next_id(entered, key), on, entered, event, *told)
        self._connection.execute(
            f"INSERT INTO entry ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                entry.seq,
                entry.id,
                on.isoformat(),
                entered.isoformat(),
                codec.kind_of(event),
                codec.dump(event),
                *told,
            ),
        )
        return entry


def _entry(row: tuple[int, str, str, str, str, str, str, str, str, str]) -> Entry:
    seq, key, on_day, entered, kind, body, *told = row
    try:
        on, written = dt.date.fromisoformat(on_day), dt.datetime.fromisoformat(entered)
    except ValueError as error:
        raise BrokenBook(f"The book holds an entry whose day cannot be read ({seq}).") from error
    return Entry(seq, key, on, written, codec.load(kind, body), *told)


@contextmanager
def _plainly(path: Path) -> Iterator[None]:
    """Turn the database's complaints into one sentence about the book."""
    try:
        yield
    except sqlite3.OperationalError as error:
        raise BrokenBook(f"The book {path.name} cannot be used just now: {error}.") from error
    except sqlite3.DatabaseError as error:
        raise BrokenBook(
            f"The book {path.name} is damaged or is no propagation book ({error}). "
            "Put back the latest copy of it that you trust."
        ) from error
