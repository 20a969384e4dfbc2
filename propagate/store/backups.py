"""Copies of the book: made while it is in use, kept in rotation, put back without losing any.

They lie in the folder `backups` beside the book. Each is written under another name, flushed,
looked through and only then given its own, so that what bears the name of a backup is whole.
"""

import datetime as dt
import os
import re
import shutil
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from attrs import frozen

from propagate.days import written

FOLDER = "backups"
DAYS_KEPT, WEEKS_KEPT, MONTHS_KEPT = 7, 5, 24
NAME = re.compile(r"book-(\d{4}-\d{2}-\d{2})(?:-(\d{6}))?(?:-([a-z-]+))?(?:-\d+)?\.(db|jsonl)")


@frozen
class Backup:
    """A copy of the book on disk: when it was made, and what for (empty: the day's own)."""

    path: Path
    day: dt.date
    what: str


def folder_of(book: Path) -> Path:
    """Where the backups of this book lie."""
    return book.parent / FOLDER


def found(book: Path) -> list[Backup]:
    """The backups of this book, the latest first."""
    folder = folder_of(book)
    names = sorted(folder.iterdir(), key=_when) if folder.is_dir() else []
    return [
        Backup(path, dt.date.fromisoformat(match[1]), match[3] or "")
        for path in reversed(names)
        if (match := NAME.fullmatch(path.name))
    ]


def made_at(path: Path) -> dt.datetime | None:
    """When a backup was made, by the world's time in its name; None for other names."""
    match = NAME.fullmatch(path.name)
    if not match:
        return None
    time = dt.time.fromisoformat(match[2]) if match[2] else dt.time()
    return dt.datetime.combine(dt.date.fromisoformat(match[1]), time, dt.UTC)


def _when(path: Path) -> tuple[str, float]:
    match = NAME.fullmatch(path.name)
    return (match[1] if match else "", path.stat().st_mtime)


def way_back(book: Path) -> str:
    """One sentence on how to go on from the latest backup."""
    copies = [copy for copy in found(book) if copy.what != "replaced"]
    if not copies:
        return "Put back the latest copy of it that you trust."
    latest = copies[0]
    return (
        f"The latest backup is of {written(latest.day)}; put it back with: "
        f"propagate restore {FOLDER}/{latest.path.name}."
    )


def fresh_path(book: Path, now: dt.datetime, what: str = "", suffix: str = "db") -> Path:
    """A name for a new backup that no file has yet."""
    folder = folder_of(book)
    folder.mkdir(exist_ok=True)
    stem = f"book-{now:%Y-%m-%d-%H%M%S}" + (f"-{what}" if what else "")
    path, number = folder / f"{stem}.{suffix}", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.{suffix}", number + 1
    return path


def copy_to(connection: sqlite3.Connection, target: Path) -> None:
    """Copy a whole database as it stands, checked and flushed, to a file of this name.

    Raises sqlite3.DatabaseError when the copy is not in order; then there is no such file.
    """
    # Two programs may make the same backup in the same second: each writes a file of its own.
    partial = target.with_name(f"{target.name}.{os.getpid()}.partial")
    partial.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(partial)) as copy:
            connection.backup(copy)
            said = copy.execute("PRAGMA quick_check(1)").fetchone()[0]
            if said != "ok":
                raise sqlite3.DatabaseError(" ".join(str(said).split()))
        put(partial, target)
    finally:
        partial.unlink(missing_ok=True)


def copy_file(source: Path, target: Path) -> None:
    """Copy a book that lies in a file, with what its last writer had no time to finish."""
    shutil.copyfile(source, target)
    journal = source.with_name(source.name + "-journal")
    if journal.is_file():
        shutil.copyfile(journal, target.with_name(target.name + "-journal"))


def replace(book: Path, fresh: Path, now: dt.datetime) -> Path | None:
    """Put `fresh` in the place of the book, keeping the old one among the backups.

    Nobody writes meanwhile; whoever had the old file open finds the new one at the next write.
    """
    if not book.exists():
        put(fresh, book)
        return None
    kept = fresh_path(book, now, "replaced")
    with _held(book):
        copy_file(book, kept)
        flush(kept)
        flush_folder(kept.parent)
        put(fresh, book)
        book.with_name(book.name + "-journal").unlink(missing_ok=True)
    return kept


@contextmanager
def _held(book: Path) -> Iterator[None]:
    """Hold a book against writers, where it is sound enough for that."""
    with closing(sqlite3.connect(book, timeout=10, isolation_level=None)) as connection:
        with suppress(sqlite3.DatabaseError):
            connection.execute("BEGIN EXCLUSIVE")
        yield
        if connection.in_transaction:
            connection.execute("ROLLBACK")


def put(partial: Path, target: Path) -> None:
    """Give a finished file its name, so that a power cut leaves the old one or the new."""
    flush(partial)
    partial.replace(target)
    flush_folder(target.parent)


def flush(path: Path) -> None:
    """See that a file's content is on the disk."""
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def flush_folder(folder: Path) -> None:
    """See that a folder's list of files is on the disk, where the system can do that."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    except OSError:  # some file systems cannot, and need not
        pass
    finally:
        os.close(handle)


def before_migration(book: Path, connection: sqlite3.Connection) -> Path:
    """Keep the book as it is before it is led to a newer schema."""
    changed = dt.datetime.fromtimestamp(book.stat().st_mtime, dt.UTC)
    target = fresh_path(book, changed, "before-upgrade")
    copy_to(connection, target)
    return target


def wanted(copies: Iterable[Backup]) -> set[Path]:
    """Those to keep: of the last days, then one a week, then one a month, and every special one.

    A backup made before a migration or a restore is never taken away by rotation.
    """
    kept: set[Path] = set()
    daily = sorted((c for c in copies if not c.what), key=lambda c: (c.day, c.path.name))
    by_day = {copy.day: copy for copy in daily}  # of one day the last
    by_week = {day.isocalendar()[:2]: copy for day, copy in sorted(by_day.items())}
    by_month = {(day.year, day.month): copy for day, copy in sorted(by_day.items())}
    for found_by, count in ((by_day, DAYS_KEPT), (by_week, WEEKS_KEPT), (by_month, MONTHS_KEPT)):
        latest = [copy for _, copy in sorted(found_by.items())][-count:]
        kept |= {copy.path for copy in latest}
    return kept | {copy.path for copy in copies if copy.what}


def rotate(book: Path) -> list[Path]:
    """Take away the daily backups that rotation no longer keeps; return them."""
    copies = found(book)
    keep = wanted(copies)
    gone = [copy.path for copy in copies if copy.path not in keep]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone
