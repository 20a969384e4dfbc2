"""What any store of the book promises, held against a file and against a PostgreSQL server."""

import datetime as dt
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from propagate.actions.desk import Desk
from propagate.actions.recording import record
from propagate.errors import BrokenBook
from propagate.names import parse
from propagate.records.events import Entry, Hand, Lost, Moved, Started
from propagate.store.ids import next_id
from propagate.store.sqlite import SqliteBook

DAY = dt.date(2027, 3, 12)
NOW = dt.datetime(2027, 3, 12, 8, 30, 0, 123456, tzinfo=dt.UTC)
START = Started("A", parse("Ribes nigrum 'Blacksmith'"), "runner", 40, place="bench")
Opened = Callable[[], Any]


def add(book: Any, *events: Started | Lost | Moved) -> list[Entry]:
    with book.writing() as writing:
        return [writing.append(event, DAY, NOW) for event in events]


def another(entered: dt.datetime, event: Started | Lost | Moved, last: str = "") -> Entry:
    """An entry of another copy."""
    return Entry(1, next_id(entered, last), DAY, entered, event, "Bea", "shed", "r", "abc")


def test_an_entry_comes_back_as_it_was_written(opened: Opened) -> None:
    with opened() as book, book.writing() as writing:
        hand = Hand("Ann", "phone", "request 1")
        written = writing.append(START, DAY, NOW, hand, "0123456789ab")
        assert writing.entries() == (written,)
    with opened() as book:
        assert book.entries() == (written,)
        assert book.last() == (1, written.id)
    assert (written.seq, written.on, written.entered, written.event) == (1, DAY, NOW, START)
    assert (written.by, written.device, written.request) == ("Ann", "phone", "request 1")


def test_text_of_any_script_comes_back(opened: Opened) -> None:
    with opened() as book:
        event = Moved("A", "banc – Übertopf\u2028\t\x00 木 \U0001f331")
        add(book, event)
        assert book.entries()[0].event == event


def test_an_error_while_writing_keeps_nothing(opened: Opened) -> None:
    def fail_half_way(book: Any) -> None:
        with book.writing() as writing:
            writing.append(Moved("A", "frame"), DAY, NOW)
            raise ZeroDivisionError

    with opened() as book:
        add(book, START)
        with pytest.raises(ZeroDivisionError):
            fail_half_way(book)
        assert [entry.event for entry in book.entries()] == [START]
        add(book, Moved("A", "bed"))
        assert [entry.seq for entry in book.entries()] == [1, 2]


def test_what_is_being_written_is_seen_by_others_only_at_the_end(opened: Opened) -> None:
    with opened() as book, opened() as other:
        with book.writing() as writing:
            writing.append(START, DAY, NOW)
            assert other.entries() == ()
        assert len(other.entries()) == 1


def test_entries_beyond_a_place_and_the_one_in_a_place(opened: Opened) -> None:
    with opened() as book:
        assert (book.last(), book.id_at(1)) == ((0, ""), "")
        first, second, third = add(book, START, Moved("A", "frame"), Moved("A", "bed"))
        assert book.entries(after=1) == (second, third)
        assert book.id_at(1) == first.id


def test_a_request_finds_what_it_brought(opened: Opened) -> None:
    with opened() as book, book.writing() as writing:
        pair = [writing.append(e, DAY, NOW, Hand(request="r")) for e in (START, Moved("A", "bed"))]
        writing.append(Moved("A", "bench"), DAY, NOW)
        assert writing.asked("r") == tuple(pair)
        assert writing.asked("other") == writing.asked("") == ()


@pytest.mark.parametrize(
    "deed", ["UPDATE entry SET body = '{}'", "UPDATE entry SET about = ''", "DELETE FROM entry"]
)
def test_entries_are_never_changed_or_taken_out(opened: Opened, deed: str) -> None:
    with opened() as book:
        add(book, START)
        with pytest.raises(Exception, match="entries are never changed; void instead"):
            book._connection.execute(deed)
        assert [entry.event for entry in book.entries()] == [START]


def test_entries_of_another_copy_take_their_place_by_id(opened: Opened) -> None:
    late, early = NOW + dt.timedelta(hours=2), NOW - dt.timedelta(hours=1)
    with opened() as book:
        first, second = add(book, START, Moved("A", "frame"))
        between = another(NOW, Moved("A", "bench"), first.id)
        others = [another(late, Lost("A", 1)), between, another(early, Lost("A", 2)), second]
        with book.writing() as writing:
            assert writing.take_in(others) == 3
            assert writing.take_in(others) == 0
        entries = book.entries()
    ids = [entry.id for entry in entries]
    assert ids == sorted({first.id, second.id, *(other.id for other in others)})
    assert [entry.seq for entry in entries] == [1, 2, 3, 4, 5]
    kept = next(entry for entry in entries if entry.id == between.id)
    assert (kept.by, kept.device, kept.event) == ("Bea", "shed", between.event)


def test_taking_in_that_fails_changes_no_place(opened: Opened) -> None:
    def fail(book: Any) -> None:
        with book.writing() as writing:
            writing.take_in([another(NOW - dt.timedelta(days=1), Lost("A", 1))])
            raise ZeroDivisionError

    with opened() as book:
        add(book, START, Moved("A", "frame"))
        before = book.entries()
        with pytest.raises(ZeroDivisionError):
            fail(book)
        assert book.entries() == before


def test_many_writers_at_once_lose_nothing(opened: Opened) -> None:
    def write_many(place: str) -> None:
        with opened() as book:
            for number in range(20):
                add(book, Moved("A", f"{place} {number}"))

    opened().close()
    places = ("bench", "frame", "bed", "sand")
    with ThreadPoolExecutor(len(places)) as pool:
        list(pool.map(write_many, places))
    with opened() as book:
        entries = book.entries()
    assert [entry.seq for entry in entries] == list(range(1, 81))
    assert [entry.id for entry in entries] == sorted({entry.id for entry in entries})
    assert {e.event.place for e in entries} == {f"{p} {n}" for p in places for n in range(20)}


def test_two_who_open_a_new_book_at_once_make_one(opened: Opened) -> None:
    gate = threading.Barrier(4)

    def open_and_write(number: int) -> None:
        gate.wait()
        with opened() as book:
            add(book, Moved("A", f"bench {number}"))

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(open_and_write, range(4)))
    with opened() as book:
        assert len(book.entries()) == 4


def test_one_request_at_once_from_many_is_written_once(opened: Opened, tmp_path: Any) -> None:
    def lose_one(_: int) -> str:
        with opened() as book, Desk(tmp_path, DAY, NOW) as desk:
            desk.__dict__["store"] = book
            return record(desk, Lost("A", 1), request="the one").id

    with opened() as book:
        add(book, START)
    with ThreadPoolExecutor(4) as pool:
        assert len(set(pool.map(lose_one, range(8)))) == 1
    with opened() as book:
        assert len(book.entries()) == 2


def test_a_whole_book_can_be_verified(opened: Opened) -> None:
    with opened() as book:
        add(book, START)
        book.verify()


# The database alone


def test_a_database_that_does_not_answer_is_told_of_without_its_password() -> None:
    from propagate.store.postgres import PostgresBook

    with pytest.raises(BrokenBook, match="cannot be used just now") as caught:
        PostgresBook("postgresql://ann:secret@/book?host=/nowhere")
    assert "secret" not in str(caught.value)
    assert "\n" not in str(caught.value)


def test_tables_of_another_program_are_left_alone(url: str) -> None:
    import psycopg

    from propagate.store.postgres import PostgresBook

    with psycopg.connect(url, autocommit=True) as connection:
        connection.execute("CREATE TABLE entry (what text)")
        with pytest.raises(BrokenBook, match="tables of another program"):
            PostgresBook(url)
        assert connection.execute("SELECT count(*) FROM entry").fetchone() == (0,)


def test_a_database_of_a_newer_program_is_refused(url: str) -> None:
    import psycopg

    from propagate.store.postgres import PostgresBook

    PostgresBook(url).close()
    with psycopg.connect(url, autocommit=True) as connection:
        connection.execute("UPDATE book_version SET version = 99")
    with pytest.raises(BrokenBook, match=r"newer program \(book version 99"):
        PostgresBook(url)


def test_a_book_goes_from_file_to_database_and_back_as_it_was(tmp_path: Any, url: str) -> None:
    from propagate.actions.copies import carry

    settings = tmp_path / "nursery.toml"
    with Desk(tmp_path, DAY, NOW, "Ann") as desk:
        add(desk.store, START, *[Moved("A", f"bench {n}") for n in range(50)])
        before = desk.store.entries()
        assert carry(desk, url) == 51
    (tmp_path / "book.db").rename(tmp_path / "old.db")
    settings.write_text(f'name = "N"\n[book]\nurl = "{url}"\n')
    with Desk(tmp_path, DAY, NOW) as desk:
        assert desk.store.entries() == before
        assert carry(desk, "") == 51
    with SqliteBook(tmp_path / "book.db") as book:
        assert book.entries() == before


def test_a_daily_backup_of_a_database_is_an_export(tmp_path: Any, url: str) -> None:
    from propagate.store.lines import read_lines

    (tmp_path / "nursery.toml").write_text(f'name = "N"\n[book]\nurl = "{url}"\n')
    later = NOW + dt.timedelta(days=1)
    with Desk(tmp_path, DAY, NOW) as desk:
        add(desk.store, START)
    with Desk(tmp_path, later.date(), later) as desk:
        before = desk.store.entries()
        record(desk, Moved("A", "bed"))
    (copy,) = (tmp_path / "backups").iterdir()
    assert copy.name == "book-2027-03-13-083000.jsonl"
    assert read_lines(copy) == before
