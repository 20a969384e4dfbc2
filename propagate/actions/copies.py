"""Copies of the book: backups, exports, putting one back, another database for it."""

import datetime as dt
from pathlib import Path

from attrs import frozen

from propagate.actions.desk import Desk
from propagate.errors import BrokenBook, NotFound, PropagateError, Refused
from propagate.paths import BOOK_FILE
from propagate.store import SqliteBook, backups, lines, opening


@frozen
class Restored:
    """What stands in the book after one was put back, and where the replaced one lies.

    `made` is when the copy was made, as far as its name tells; `had` how many entries stood
    in the book before, None where it could not be read.
    """

    source: Path
    entries: int
    replaced: Path | None
    made: dt.datetime | None
    had: int | None


def back_up(desk: Desk) -> Path:
    """Make a backup now; return its file."""
    return opening.back_up(desk.store, desk.folder, desk.now, "by-hand")


def backups_of(folder: Path) -> list[backups.Backup]:
    """The backups of a nursery, the latest first."""
    return backups.found(folder / BOOK_FILE)


def restore(desk: Desk, source: Path | None) -> Restored:
    """Put a backup or an export back, the latest backup when none is named.

    What it replaces is kept among the backups. Raises NotFound where there is nothing to put
    back, and Refused where the book lies in a database.
    """
    _refuse_database(desk, "put back into")
    chosen = _found(desk.folder, source) if source else _latest(desk.folder)
    had = _held(desk)
    desk.close()
    entries, replaced = opening.restore(desk.folder, chosen, desk.now)
    return Restored(chosen, entries, replaced, backups.made_at(chosen), had)


def _found(folder: Path, source: Path) -> Path:
    """A copy as its path says it, or by its name within the nursery or among the backups."""
    places = (source, folder / source, folder / backups.FOLDER / source)
    return next((place for place in places if place.exists()), source)


def _held(desk: Desk) -> int | None:
    """How many entries stand in the book, None in one that cannot be read any more."""
    try:
        return desk.store.last()[0]
    except PropagateError:
        return None


def _latest(folder: Path) -> Path:
    copies = [copy for copy in backups_of(folder) if copy.what != "replaced"]
    if not copies:
        raise NotFound(f"There is no backup in {folder / backups.FOLDER}.")
    return copies[0].path


def export(desk: Desk, path: Path) -> int:
    """Write the whole book as JSON Lines; say how many entries."""
    return lines.write_lines(desk.store.entries(), path)


def verify(desk: Desk) -> int:
    """Look through the whole book, page by page and entry by entry; say how many entries.

    Raises BrokenBook where it cannot be trusted.
    """
    desk.store.verify()
    entries = desk.store.entries()
    ids = [entry.id for entry in entries]
    if ids != sorted(set(ids)) or [e.seq for e in entries] != list(range(1, len(ids) + 1)):
        raise BrokenBook("The entries of the book do not stand in their order; restore a backup.")
    return len(entries)


def carry(desk: Desk, url: str) -> int:
    """Carry the whole book into an empty database, or from one into a file here.

    `url` is empty for the file. Every entry is compared afterwards; the old book stays where
    it was. Returns the number of entries. Raises Refused when there is a book already.
    """
    if url and not opening.is_url(url):
        raise Refused("Give the URL of a PostgreSQL database, postgresql://..., or the word file.")
    entries = desk.store.entries()
    file = desk.folder / BOOK_FILE
    with opening.open_book(desk.folder, url) if url else SqliteBook(file) as target:
        if target.last()[0]:
            raise Refused("There is a book with entries already; use: propagate merge.")
        with target.writing() as writing:
            writing.take_in(entries)
        if target.entries() != entries:
            raise BrokenBook("The entries did not arrive as they were; the old book stays in use.")
    return len(entries)


def _refuse_database(desk: Desk, what: str) -> None:
    if desk.book_settings.url:
        raise Refused(
            f"The book lies in a database, which is {what} with its own tools; "
            "for an exported book use: propagate merge FILE."
        )
