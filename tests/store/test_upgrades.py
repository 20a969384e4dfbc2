"""An entry of the first books gains its place, and what its codes meant, when it is led on."""

import datetime as dt
import sqlite3
from contextlib import closing
from pathlib import Path

from propagate.ledger import fold
from propagate.names import parse
from propagate.records.events import Lost, Started, Voided, id_end
from propagate.store import SqliteBook, codec, schema
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
