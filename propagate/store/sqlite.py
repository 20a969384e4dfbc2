"""The book in a SQLite file of the nursery folder.

Rollback journal (DELETE) with synchronous EXTRA: before a command says that an entry is taken,
the entry's pages, the journal before them, the journal's removal and the folder that lists both
have been flushed. Write-ahead logging would be faster, but SQLite 3.7.0 to 3.51.2 can lose
committed writes in it when two connections checkpoint at the wrong moment (the WAL-reset fault,
fixed in 3.51.3), and in this mode there is no write-ahead log that could be reset; nor does a
second file lie beside the book that somebody forgets to copy. A potting bench writes seldom.
"""

import os
import random
import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from propagate.errors import BrokenBook
from propagate.records.events import Entry
from propagate.store import backups, schema
from propagate.store.journal import Journal, Row

WAIT_SECONDS = 20.0
RETRY_SECONDS = 0.002
CHECKED_WHOLE_BYTES = 4 << 20
"""Up to this size every page is looked at whenever the book is opened (measured: 1 ms a
megabyte); a larger one once a day, when its backup is made."""


class SqliteBook:
    """A BookStore in one file; use as a context manager or call close()."""

    def __init__(self, path: Path) -> None:
        """Open the book, making it when `path` does not exist.

        Raises BrokenBook when the file is damaged, foreign, or newer than this program.
        """
        self.path = path
        with _plainly(path):
            self._open()

    def _open(self) -> None:
        made = not self.path.exists()
        self._connection = sqlite3.connect(self.path, timeout=WAIT_SECONDS, isolation_level=None)
        self._journal = Journal(self._run)
        try:
            self._prepare()
        except BaseException:
            self._connection.close()
            raise
        if made:
            backups.flush_folder(self.path.parent)
        self._file = _identity(self.path)

    def _prepare(self) -> None:
        self._connection.execute("PRAGMA synchronous = EXTRA")
        self._connection.execute("PRAGMA trusted_schema = OFF")
        schema.refuse_foreign(self._connection)
        self._check()
        if schema.pending(self._connection) and schema.version(self._connection):
            backups.before_migration(self.path, self._connection)
        schema.migrate(self._connection)
        # Written into the file, so it comes after a foreign one has been refused.
        self._connection.execute("PRAGMA journal_mode = DELETE").fetchall()

    def _check(self) -> None:
        """Refuse a file that was cut short, and a small one with any page out of order."""
        pages, page_bytes = self._one("PRAGMA page_count", "PRAGMA page_size")
        size = self.path.stat().st_size
        if size < pages * page_bytes:
            raise sqlite3.DatabaseError("a part of the file is missing")
        if size <= CHECKED_WHOLE_BYTES:
            self.verify()

    def _one(self, *pragmas: str) -> list[int]:
        return [int(self._connection.execute(pragma).fetchone()[0]) for pragma in pragmas]

    def __enter__(self) -> "SqliteBook":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def verify(self) -> None:
        """Look through every page; raises BrokenBook where the book cannot be trusted."""
        with _plainly(self.path):
            found = self._connection.execute("PRAGMA quick_check(1)").fetchone()[0]
            if found != "ok":
                raise sqlite3.DatabaseError(" ".join(str(found).split()))

    def entries(self, after: int = 0) -> tuple[Entry, ...]:
        """Every entry whose place is beyond `after`, in the order written."""
        return self._journal.entries(after)

    def last(self) -> tuple[int, str]:
        """Place and id of the latest entry; (0, "") in an empty book."""
        return self._journal.last()

    def id_at(self, seq: int) -> str:
        """The id of the entry in this place, empty where there is none."""
        return self._journal.id_at(seq)

    def back_up(self, target: Path) -> None:
        """Write a consistent copy of the book to `target` while others may use it."""
        with _plainly(self.path):
            backups.copy_to(self._connection, target)

    def latest(self) -> int:
        """The number of the latest entry, 0 in an empty book."""
        return self.last()[0]

    @contextmanager
    def writing(self) -> Iterator[Journal]:
        """Hold the book against other writers; commit at the end, or undo all on an error."""
        with _plainly(self.path):
            self._hold()
        try:
            yield self._journal
            with _plainly(self.path):
                self._connection.execute("COMMIT")
        except BaseException:
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")
            raise

    def _hold(self) -> None:
        """Begin to write, in the file that bears the book's name now.

        Waiting in short steps of chance length lets everybody in soon; the database's own
        steps grow to a tenth of a second, and among many writers somebody starves.
        """
        until = time.monotonic() + WAIT_SECONDS
        self._connection.execute("PRAGMA busy_timeout = 0")
        try:
            while True:
                try:
                    self._connection.execute("BEGIN IMMEDIATE")
                    break
                except sqlite3.OperationalError as error:
                    if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or (
                        time.monotonic() > until
                    ):
                        raise
                    time.sleep(random.uniform(0, 2 * RETRY_SECONDS))
        finally:
            self._connection.execute(f"PRAGMA busy_timeout = {int(WAIT_SECONDS * 1000)}")
        if _identity(self.path) != self._file:  # somebody put a backup in its place
            self._connection.close()
            self._open()
            self._hold()

    def _run(self, statement: str, values: Sequence[object]) -> Iterator[Row]:
        with _plainly(self.path):
            cursor = self._connection.execute(statement, tuple(values))
            # Rows are fetched here, so that no open read keeps other writers out.
            return iter(cursor.fetchall())


def _identity(path: Path) -> tuple[int, int]:
    found = os.stat(path)
    return found.st_dev, found.st_ino


@contextmanager
def _plainly(path: Path) -> Iterator[None]:
    """Turn the database's complaints into one sentence about the book."""
    try:
        yield
    except OSError as error:
        raise BrokenBook(f"The book {path.name} cannot be used: {error.strerror}.") from error
    except sqlite3.OperationalError as error:
        raise BrokenBook(_not_now(path, error)) from error
    except sqlite3.DatabaseError as error:
        raise BrokenBook(
            f"The book {path.name} is damaged or is no propagation book ({error}). "
            f"{backups.way_back(path)}"
        ) from error


def _not_now(path: Path, error: sqlite3.OperationalError) -> str:
    """Why the book cannot be used at this moment, and what stands all the same."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR):
        return (
            f"The disk did not take it ({error}): is it full? Nothing of this was written; "
            f"all that was in the book {path.name} before is still there."
        )
    if code == sqlite3.SQLITE_READONLY:
        return (
            f"The book {path.name} can be read here but not written ({error}); "
            "look at the rights of the file and its folder."
        )
    return f"The book {path.name} cannot be used just now: {error}."
