"""An entry of the first books gains its place, and what its codes meant, when it is led on."""

import datetime as dt
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from propagate.ledger import fold
from propagate.names import parse
from propagate.records.events import Lost, Started, Voided, id_end
from propagate.store import SqliteBook, backups, codec, schema
from propagate.store.ids import entry_id

NOW = dt.datetime(2026, 11, 20, 9, tzinfo=dt.UTC)


def first_book(path: Path) -> None:
    """A book as the first program wrote it: ids of one moment in no order."""
    lost = entry_id(NOW, 5)
    written = [
        (entry_id(NOW, 9), Started("A", parse("Ribes nigrum"), "runner", 40)),
        (lost, Lost("A", 3)),
        (entry_id(NOW, 7), Voided(lost, "slip")),
    ]
    with closing(sqlite3.connect(path, isolation_level=None)) as old:
        schema.create_journal(old)
        old.execute("PRAGMA user_version = 1")
        old.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
        old.executemany(
            "INSERT INTO entry VALUES (?, ?, '2026-11-20', ?, ?, ?)",
            [
                (seq, key, NOW.isoformat(), codec.kind_of(event), codec.dump(event))
                for seq, (key, event) in enumerate(written, start=1)
            ],
        )


def test_a_book_of_the_first_schema_is_led_on(tmp_path: Path) -> None:
    first_book(tmp_path / "book.db")
    with SqliteBook(tmp_path / "book.db") as book:
        entries = book.entries()
    assert [entry.id for entry in entries] == sorted({entry.id for entry in entries})
    started, lost, void = entries
    assert started.id == entry_id(NOW, 9)  # it stood right already
    assert void.event == Voided(lost.id, "slip")
    assert [entry.about for entry in entries] == ["", id_end(started.id), ""]
    assert fold(entries).batch("A").accounts() == {"waiting": 40}


def test_two_copies_of_it_are_led_on_alike(tmp_path: Path) -> None:
    for name in ("house.db", "shed.db"):
        first_book(tmp_path / name)
    with SqliteBook(tmp_path / "house.db") as house, SqliteBook(tmp_path / "shed.db") as shed:
        assert house.entries() == shed.entries()


# Books as earlier programs really wrote them: a season on one batch

BOOKS = Path(__file__).parent / "books"


def test_there_is_a_book_of_every_schema_but_the_next() -> None:
    assert {path.stem for path in BOOKS.iterdir()} == {
        f"schema-{number}" for number in range(1, len(schema.MIGRATIONS) + 1)
    }


@pytest.mark.parametrize("path", sorted(BOOKS.iterdir()), ids=lambda path: path.stem)
def test_a_book_of_an_earlier_program_is_led_on_with_all_it_says(
    path: Path, tmp_path: Path
) -> None:
    shutil.copyfile(path, tmp_path / "book.db")
    with SqliteBook(tmp_path / "book.db") as book:
        book.verify()
        entries = book.entries()
    assert [entry.id for entry in entries] == sorted({entry.id for entry in entries})
    folded = fold(entries)
    assert not folded.conflicts
    (batch,) = folded.batches.values()
    assert str(batch.name) == "Ribes nigrum ‘Alder Jet’"
    assert batch.accounts() == {"waiting": 17, "lost": 3, "potted": 12, "rooted": 8}
    assert (batch.started.mark, batch.started.note) == ("T1", "übers Jahr")
    assert batch.needs_reprint
    started = next(entry for entry in entries if isinstance(entry.event, Started))
    spoken_of = [entry for entry in entries if getattr(entry.event, "batch", "") == batch.code]
    assert {entry.about for entry in spoken_of} == {"", id_end(started.id)}


def test_an_earlier_book_is_kept_before_it_is_led_on(tmp_path: Path) -> None:
    shutil.copyfile(BOOKS / "schema-1.db", tmp_path / "book.db")
    SqliteBook(tmp_path / "book.db").close()
    (kept,) = backups.found(tmp_path / "book.db")
    assert kept.what == "before-upgrade"
    with closing(sqlite3.connect(kept.path)) as copy:
        assert copy.execute("PRAGMA user_version").fetchone() == (1,)
        assert copy.execute("SELECT count(*) FROM entry").fetchone() == (8,)
