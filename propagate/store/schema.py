"""The tables of the book and the named steps that lead an older book to them.

Each migration and the version it reaches are written in one transaction, so a book stands
always at one version or the next. `user_version` holds the number of steps done;
`application_id` marks the file as a propagation book.
"""

import json
import sqlite3
from collections.abc import Callable

from propagate.errors import BrokenBook
from propagate.store.upgrades import in_order

APPLICATION_ID = 0x50524F50  # "PROP" in ASCII


def create_journal(connection: sqlite3.Connection) -> None:
    """Make the journal: entries that can be added, never changed or taken out."""
    connection.execute(
        """CREATE TABLE entry (
            seq INTEGER PRIMARY KEY,
            id TEXT NOT NULL UNIQUE,
            on_day TEXT NOT NULL,
            entered TEXT NOT NULL,
            kind TEXT NOT NULL,
            body TEXT NOT NULL
        ) STRICT"""
    )
    for deed in ("UPDATE", "DELETE"):
        connection.execute(
            f"""CREATE TRIGGER entry_no_{deed.lower()} BEFORE {deed} ON entry
                BEGIN SELECT RAISE(ABORT, 'entries are never changed; void instead'); END"""
        )


def tell_who_wrote(connection: sqlite3.Connection) -> None:
    """Each entry says who entered it, where, for which request, and what its codes meant.

    Ids now follow the order of writing, so that the same entries stand in the same order in
    every copy; those written in one millisecond did not and are set right, the same in each.
    """
    rows = connection.execute("SELECT id, kind, body FROM entry ORDER BY seq").fetchall()
    lines = in_order([(key, kind, json.loads(body)) for key, kind, body in rows])
    connection.execute("DROP TRIGGER entry_no_update")
    for column in ("by_whom", "device", "request", "about"):
        connection.execute(f"ALTER TABLE entry ADD COLUMN {column} TEXT NOT NULL DEFAULT ''")
    connection.execute("UPDATE entry SET id = seq")  # out of the way of the new ones
    connection.executemany(
        "UPDATE entry SET id = ?, body = ?, about = ? WHERE seq = ?",
        [
            (key, json.dumps(body, ensure_ascii=False, sort_keys=True), about, seq)
            for seq, (key, body, about) in enumerate(lines, start=1)
        ],
    )
    connection.execute("CREATE INDEX entry_request ON entry (request) WHERE request <> ''")
    # An entry may get another place when books are merged; its content is for ever.
    connection.execute(
        """CREATE TRIGGER entry_no_update
           BEFORE UPDATE OF id, on_day, entered, kind, body, by_whom, device, request, about
           ON entry
           BEGIN SELECT RAISE(ABORT, 'entries are never changed; void instead'); END"""
    )


MIGRATIONS: tuple[Callable[[sqlite3.Connection], None], ...] = (create_journal, tell_who_wrote)


def pending(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Names of the migrations that this book still needs; reads only."""
    return tuple(step.__name__ for step in MIGRATIONS[version(connection) :])


def migrate(connection: sqlite3.Connection) -> None:
    """Lead the book to the newest version, all steps at once, so that nobody sees one between.

    Raises BrokenBook for a file of another program and for a book of a newer one.
    """
    refuse_foreign(connection)
    if version(connection) == len(MIGRATIONS):
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        for number in range(version(connection), len(MIGRATIONS)):  # none if others were quicker
            MIGRATIONS[number](connection)
            connection.execute(f"PRAGMA user_version = {number + 1}")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def version(connection: sqlite3.Connection) -> int:
    """The number of migrations this book has been through."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def refuse_foreign(connection: sqlite3.Connection) -> None:
    """Raise BrokenBook for a file of another program and for a book of a newer one."""
    # One statement, so that a book just being made by somebody else is seen before or after.
    version, mark, tables = connection.execute(
        """SELECT user_version, application_id, (SELECT count(*) FROM sqlite_master)
           FROM pragma_user_version, pragma_application_id"""
    ).fetchone()
    if mark != APPLICATION_ID and (mark or version or tables):
        raise BrokenBook("This database is not a propagation book; it was left as it is.")
    if version > len(MIGRATIONS):
        raise BrokenBook(
            f"This book was written by a newer program (book version {version}, "
            f"this program reads up to {len(MIGRATIONS)}); update the program."
        )
