"""Which store stands behind a book: a file of the nursery, or a database by its URL."""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from propagate.errors import BrokenBook, NotFound, Refused
from propagate.paths import BOOK_FILE
from propagate.records.events import Entry
from propagate.settings.book import URL_STARTS
from propagate.store import backups, lines
from propagate.store.interface import BookStore
from propagate.store.sqlite import SqliteBook

if TYPE_CHECKING:
    from propagate.store.postgres import PostgresBook

LINES_SUFFIX = ".jsonl"


def open_book(folder: Path, url: str = "") -> "SqliteBook | PostgresBook":
    """The book of a nursery folder, or the one in the database at `url`.

    Raises BrokenBook where the folder has backups of a book that is gone: a new one begun in
    its place would give its codes away once more.
    """
    if not url:
        path = folder / BOOK_FILE
        if not path.exists() and backups.found(path):
            raise BrokenBook(f"The book {path.name} is not there. {backups.way_back(path)}")
        return SqliteBook(path)
    from propagate.store.postgres import PostgresBook

    return PostgresBook(url)


def is_url(text: str) -> bool:
    """Whether a text means a database rather than a file."""
    return text.startswith(URL_STARTS)


def entries_of(source: Path) -> tuple[Entry, ...]:
    """The entries of another book: a nursery folder, a book file, a backup, or exported lines.

    The other book is only read. Raises NotFound where there is none.
    """
    path = source / BOOK_FILE if source.is_dir() else source
    if not path.is_file():
        raise NotFound(f"There is no book at {source}.")
    if path.suffix == LINES_SUFFIX:
        return lines.read_lines(path)
    with _copied(path) as copy, SqliteBook(copy) as book:
        return book.entries()


@contextmanager
def _copied(path: Path) -> Iterator[Path]:
    """A copy of a book aside, so that an older one can be led on without touching it."""
    import tempfile

    with tempfile.TemporaryDirectory() as aside:
        copy = Path(aside) / path.name
        backups.copy_file(path, copy)
        yield copy


def back_up(book: BookStore, folder: Path, now: dt.datetime, what: str = "") -> Path:
    """Make a backup of the book now and take away those that rotation no longer keeps.

    Raises Refused when it cannot be written; the book itself is not touched.
    """
    path = folder / BOOK_FILE
    try:
        if isinstance(book, SqliteBook):
            book.verify()
            target = backups.fresh_path(path, now, what)
            book.back_up(target)
        else:
            target = backups.fresh_path(path, now, what, "jsonl")
            lines.write_lines(book.entries(), target)
        backups.rotate(path)
    except OSError as error:
        raise Refused(f"The backup cannot be written: {error.strerror}.") from None
    return target


def back_up_daily(book: BookStore, folder: Path, now: dt.datetime) -> Path | None:
    """The day's backup, before its first entry is written; None where there is one already."""
    today = now.astimezone(dt.UTC).date()
    copies = [c for c in backups.found(folder / BOOK_FILE) if not c.what and c.day == today]
    _, last = book.last()
    if copies or not last or _day_of(last) >= today:
        return None
    return back_up(book, folder, now)


def _day_of(entry_id: str) -> dt.date:
    milliseconds = int(entry_id.replace("-", "")[:12], 16)
    return dt.datetime.fromtimestamp(milliseconds / 1000, dt.UTC).date()


def restore(folder: Path, source: Path, now: dt.datetime) -> tuple[int, Path | None]:
    """Put a backup or an export in the place of the book; keep first what it replaces.

    Returns how many entries the book has now and where the old one is (None: there was none).
    Raises BrokenBook, with the book unchanged, when `source` is not in order.
    """
    entries = entries_of(source)
    path = folder / BOOK_FILE
    fresh = path.with_name(path.name + ".new")
    try:
        fresh.unlink(missing_ok=True)
        with SqliteBook(fresh) as book, book.writing() as writing:
            writing.take_in(entries)
        with SqliteBook(fresh) as book:
            if [e.id for e in book.entries()] != [e.id for e in entries]:
                raise BrokenBook(f"{source.name} could not be put back; the book is as it was.")
        return len(entries), backups.replace(path, fresh, now)
    except OSError as error:
        raise Refused(f"The book cannot be put back: {error.strerror}.") from None
    finally:
        fresh.unlink(missing_ok=True)
