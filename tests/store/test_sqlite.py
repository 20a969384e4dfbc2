"""The book on disk: what was accepted stays, nothing else does, and no file is harmed."""

import datetime as dt
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest

from propagate.errors import BrokenBook
from propagate.names import parse
from propagate.records.events import Lost, Moved, Started
from propagate.store import SqliteBook, schema

DAY = dt.date(2027, 3, 12)
NOW = dt.datetime(2027, 3, 12, 8, 30, 0, 123456, tzinfo=dt.UTC)
START = Started("A", parse("Ribes nigrum 'Blacksmith'"), "runner", 40, place="bench")
NOBODY = 65534  # the user without rights, by old custom


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "book.db"


@pytest.fixture
def book(path: Path) -> Iterator[SqliteBook]:
    with SqliteBook(path) as opened:
        yield opened


def add(book: SqliteBook, *events: Started | Lost | Moved) -> None:
    with book.writing() as writing:
        for event in events:
            writing.append(event, DAY, NOW)


def raw(path: Path, *statements: str) -> list[tuple[object, ...]]:
    """Run SQL on the file behind the book's back; return the rows of the last statement."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        return [connection.execute(statement).fetchall() for statement in statements][-1]


# Keeping


def test_an_entry_survives_closing_and_opening(path: Path) -> None:
    with SqliteBook(path) as book, book.writing() as writing:
        written = writing.append(START, DAY, NOW)
    with SqliteBook(path) as book:
        assert book.entries() == (written,)
    assert (written.seq, written.on, written.entered, written.event) == (1, DAY, NOW, START)


def test_a_writer_sees_what_it_has_appended(book: SqliteBook) -> None:
    with book.writing() as writing:
        written = writing.append(START, DAY, NOW)
        assert writing.entries() == (written,)


def test_an_error_while_writing_keeps_nothing(book: SqliteBook) -> None:
    def fail_half_way() -> None:
        with book.writing() as writing:
            writing.append(Moved("A", "frame"), DAY, NOW)
            raise ZeroDivisionError

    add(book, START)
    with pytest.raises(ZeroDivisionError):
        fail_half_way()
    assert [entry.event for entry in book.entries()] == [START]
    add(book, Moved("A", "bed"))
    assert [entry.seq for entry in book.entries()] == [1, 2]


def test_an_appended_entry_is_seen_by_others_only_at_the_end(path: Path, book: SqliteBook) -> None:
    with SqliteBook(path) as other:
        with book.writing() as writing:
            writing.append(START, DAY, NOW)
            assert other.entries() == ()
        assert len(other.entries()) == 1


@pytest.mark.parametrize("deed", ["UPDATE entry SET body = '{}'", "DELETE FROM entry"])
def test_entries_are_never_changed_or_taken_out(path: Path, book: SqliteBook, deed: str) -> None:
    add(book, START)
    with pytest.raises(sqlite3.IntegrityError, match="entries are never changed; void instead"):
        raw(path, deed)
    assert [entry.event for entry in book.entries()] == [START]


def test_two_writers_at_once_lose_nothing(path: Path) -> None:
    def write_fifty(place: str) -> None:
        with SqliteBook(path) as book:
            for number in range(50):
                add(book, Moved("A", f"{place} {number}"))

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(write_fifty, ("bench", "frame")))
    with SqliteBook(path) as book:
        entries = book.entries()
    assert [entry.seq for entry in entries] == list(range(1, 101))
    assert len({entry.id for entry in entries}) == 100
    places = {entry.event.place for entry in entries if isinstance(entry.event, Moved)}
    assert places == {f"{place} {n}" for place in ("bench", "frame") for n in range(50)}


def test_whoever_waits_too_long_is_told_in_one_sentence(
    path: Path, book: SqliteBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("propagate.store.sqlite.WAIT_SECONDS", 0.05)
    with SqliteBook(path) as other, book.writing():
        assert _sentence(lambda: add(other, START)) == (
            "The book book.db cannot be used just now: database is locked."
        )


# How it is kept


def test_the_journal_is_a_rollback_journal_flushed_to_the_end(path: Path, book: SqliteBook) -> None:
    add(book, START)
    assert raw(path, "PRAGMA journal_mode") == [("delete",)]
    extra = 3  # SQLite's number for synchronous = EXTRA
    assert book._connection.execute("PRAGMA synchronous").fetchone() == (extra,)


def test_a_book_turned_to_write_ahead_logging_is_turned_back(path: Path) -> None:
    SqliteBook(path).close()
    assert raw(path, "PRAGMA journal_mode = WAL") == [("wal",)]
    SqliteBook(path).close()
    assert raw(path, "PRAGMA journal_mode") == [("delete",)]


def test_a_new_book_is_marked_and_has_no_migration_pending(path: Path) -> None:
    SqliteBook(path).close()
    assert raw(path, "PRAGMA application_id") == [(int.from_bytes(b"PROP", "big"),)]
    assert raw(path, "PRAGMA user_version") == [(len(schema.MIGRATIONS),)]
    with closing(sqlite3.connect(path)) as connection:
        assert schema.pending(connection) == ()


def test_an_empty_file_has_every_migration_pending_and_asking_changes_nothing(
    path: Path,
) -> None:
    with closing(sqlite3.connect(path)) as connection:
        assert schema.pending(connection) == tuple(step.__name__ for step in schema.MIGRATIONS)
    assert path.read_bytes() == b""


def test_an_older_book_is_led_on_and_keeps_its_entries(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with SqliteBook(path) as book:
        add(book, START)

    def add_index(connection: sqlite3.Connection) -> None:
        connection.execute("CREATE INDEX entry_day ON entry (on_day)")

    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, add_index))
    with closing(sqlite3.connect(path)) as connection:
        assert schema.pending(connection) == ("add_index",)
    with SqliteBook(path) as book:
        assert [entry.event for entry in book.entries()] == [START]
    assert raw(path, "PRAGMA user_version") == [(len(schema.MIGRATIONS),)]
    indices = raw(path, "SELECT name FROM sqlite_master WHERE type = 'index' AND sql <> ''")
    assert ("entry_day",) in indices


def test_a_migration_that_fails_leaves_the_book_at_the_version_before(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    SqliteBook(path).close()
    before = len(schema.MIGRATIONS)

    def half(connection: sqlite3.Connection) -> None:
        connection.execute("CREATE TABLE half (done TEXT)")
        connection.execute("CREATE TABLE entry (twice TEXT)")

    with monkeypatch.context() as patched:
        patched.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, half))
        _sentence(lambda: SqliteBook(path))
    assert raw(path, "PRAGMA user_version") == [(before,)]
    assert raw(path, "SELECT name FROM sqlite_master WHERE type = 'table'") == [("entry",)]


def test_a_migration_that_the_database_rolled_back_itself_tells_its_own_reason(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def clash(connection: sqlite3.Connection) -> None:
        connection.execute("CREATE TABLE one (only INTEGER UNIQUE)")
        connection.execute("INSERT INTO one VALUES (1)")
        connection.execute("INSERT OR ROLLBACK INTO one VALUES (1)")

    monkeypatch.setattr(schema, "MIGRATIONS", (clash,))
    assert "UNIQUE constraint failed" in _sentence(lambda: SqliteBook(path))
    assert raw(path, "SELECT name FROM sqlite_master") == []


# Files that are no book


def _sentence(act: Callable[[], object]) -> str:
    """The one sentence with which this is refused."""
    with pytest.raises(BrokenBook) as caught:
        act()
    sentence = str(caught.value)
    assert sentence.endswith(".")
    assert "\n" not in sentence
    return sentence


@pytest.mark.parametrize(
    "statements",
    [
        ["CREATE TABLE friends (name TEXT)"],
        ["CREATE TABLE friends (name TEXT)", "PRAGMA journal_mode = WAL"],
        ["PRAGMA application_id = 252006674"],
        ["PRAGMA user_version = 1"],
        ["PRAGMA user_version = 99"],
    ],
    ids=["tables", "write-ahead", "another mark", "a version", "a high version"],
)
def test_a_database_of_another_program_is_refused_and_left_as_it_is(
    path: Path, statements: list[str]
) -> None:
    raw(path, *statements)
    before = path.read_bytes()
    assert "is not a propagation book" in _sentence(lambda: SqliteBook(path))
    assert path.read_bytes() == before


def test_a_book_of_a_newer_program_is_refused_and_left_as_it_is(path: Path) -> None:
    SqliteBook(path).close()
    raw(path, "PRAGMA user_version = 99")
    before = path.read_bytes()
    sentence = _sentence(lambda: SqliteBook(path))
    assert "written by a newer program (book version 99" in sentence
    assert "update the program" in sentence
    assert path.read_bytes() == before


@pytest.mark.parametrize("garbage", [b"no database", b"date,what,batch\n" * 1000])
def test_a_file_of_something_else_is_refused_and_left_as_it_is(path: Path, garbage: bytes) -> None:
    path.write_bytes(garbage)
    assert "The book book.db is damaged or is no propagation book" in _sentence(
        lambda: SqliteBook(path)
    )
    assert path.read_bytes() == garbage


def test_a_damaged_page_is_told_of(path: Path) -> None:
    with SqliteBook(path) as book:
        add(book, *[Moved("A", f"place {number}" * 20) for number in range(100)])
    data = bytearray(path.read_bytes())
    data[4096:] = b"\xff" * (len(data) - 4096)
    path.write_bytes(data)
    assert "is damaged" in _sentence(lambda: SqliteBook(path))


@pytest.mark.parametrize("column", ["on_day", "entered"])
def test_an_entry_with_a_day_that_is_none_is_told_of(path: Path, column: str) -> None:
    with SqliteBook(path) as book:
        add(book, START)
        raw(path, "DROP TRIGGER entry_no_update", f"UPDATE entry SET {column} = 'soon'")
        assert _sentence(book.entries) == "The book holds an entry whose day cannot be read (1)."


def test_a_folder_that_is_not_there_is_told_of(tmp_path: Path) -> None:
    assert "cannot be used just now" in _sentence(lambda: SqliteBook(tmp_path / "no" / "book.db"))


def test_a_read_only_book_can_be_read_and_says_that_it_cannot_be_written() -> None:
    folder = Path(tempfile.mkdtemp())
    try:
        with SqliteBook(folder / "book.db") as book:
            add(book, START)
        (folder / "book.db").chmod(0o444)
        folder.chmod(0o555)
        said = _as_nobody(lambda: _read_then_write(folder / "book.db"))
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)
    read, _, refusal = said.partition("|")
    assert read == "1"
    assert refusal.startswith("BrokenBook: The book book.db can be read here but not written")
    assert refusal.endswith("look at the rights of the file and its folder.")


def _read_then_write(path: Path) -> str:
    with SqliteBook(path) as book:
        read = len(book.entries())
        try:
            add(book, Moved("A", "frame"))
        except Exception as error:
            return f"{read}|{type(error).__name__}: {error}"
    return f"{read}|written"


def _as_nobody(act: Callable[[], str]) -> str:
    """What `act` returns in a child process that has no more rights than anybody.

    The superuser may write to read-only files, so the tests would see nothing as that user.
    """
    receiver, sender = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            if os.geteuid() == 0:
                os.setuid(NOBODY)
            os.write(sender, act().encode())
        except BaseException as error:
            os.write(sender, f"{error!r}".encode())
        finally:
            os._exit(0)
    os.close(sender)
    with os.fdopen(receiver) as said:
        text = said.read()
    os.waitpid(child, 0)
    return text
