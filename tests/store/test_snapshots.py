"""The kept state of a long book is the state of its journal, or it is not used."""

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from propagate.actions.desk import Desk
from propagate.actions.recording import record
from propagate.actions.takingback import undo, void
from propagate.ledger import Book, fold
from propagate.names import parse
from propagate.records import events
from propagate.records.events import Entry
from propagate.store import SqliteBook, snapshots
from propagate.store.ids import next_id
from tests.ledger.test_ledger_machine import journals

NOW = dt.datetime(2027, 3, 12, 8, 30, tzinfo=dt.UTC)
DAY = NOW.date()


class Listed:
    """A reading of a list of entries."""

    def __init__(self, kept: tuple[Entry, ...]) -> None:
        self.kept = kept

    def entries(self, after: int = 0) -> tuple[Entry, ...]:
        return self.kept[after:]

    def last(self) -> tuple[int, str]:
        return len(self.kept), self.kept[-1].id

    def id_at(self, seq: int) -> str:
        return self.kept[seq - 1].id if 0 < seq <= len(self.kept) else ""


def same(book: Book, anew: Book) -> None:
    for field in snapshots._state():
        assert getattr(book, field.name) == getattr(anew, field.name), field.name
    assert list(book.batches) == list(anew.batches)
    assert book.last == anew.last


@settings(deadline=None)
@given(journals())
def test_a_kept_state_is_the_one_that_a_replay_gives(entries: tuple[Entry, ...]) -> None:
    anew = fold(entries)
    told = json.loads(json.dumps(snapshots.packed(anew)))
    for field in snapshots._state():
        assert getattr(snapshots.unpacked(told), field.name) == getattr(anew, field.name)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A nursery whose book is long enough that its state was kept."""
    monkeypatch.setattr(snapshots, "WORTH_KEEPING", 5)
    with Desk(tmp_path, DAY, NOW, "Ann") as desk:
        plant = parse("Ribes nigrum 'Alder Jet'")
        record(desk, events.StockPlantAdded("bess", plant))
        started = events.Started("A", plant, "runner", 40, "bench", "bess", ("row A",))
        record(desk, started, DAY - dt.timedelta(days=9))
        for event in (events.Checked("A", 20, 2), events.PottedOn("A", 12), events.Lost("A", 1)):
            record(desk, event)
        record(desk, events.Promised("A", 3, "Hilda"))
        record(desk, events.StepDone("A", "severed"))
    with Desk(tmp_path, DAY, NOW) as desk:
        assert desk.book.batches
    assert (tmp_path / "book.state").exists()
    return tmp_path


def loaded(folder: Path) -> Book | None:
    with SqliteBook(folder / "book.db") as book:
        return snapshots.load(folder / "book.state", book)


def test_a_kept_state_is_taken_and_the_journal_read_when_asked(folder: Path) -> None:
    with SqliteBook(folder / "book.db") as store:
        book = snapshots.load(folder / "book.state", store)
        assert book is not None
        anew = fold(store.entries()[: book.last[0]])
        same(book, anew)
        assert book.entries == anew.entries


def test_what_is_written_after_it_is_added(folder: Path) -> None:
    with Desk(folder, DAY, NOW) as desk:
        record(desk, events.Moved("A", "frame"))
        record(desk, events.Lost("A", 1, "late"), DAY - dt.timedelta(days=1))
        void(desk, 4, "wrong tray")
        undo(desk)
        grown, anew = desk.book, fold(desk.store.entries())
        same(grown, anew)
        assert grown.entries == anew.entries
    with Desk(folder, DAY, NOW) as desk:
        same(desk.book, anew)


@pytest.mark.parametrize("spoilt", ["scribbled", "cut", "empty", "other code"])
def test_a_state_that_does_not_fit_is_not_used(
    folder: Path, spoilt: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = folder / "book.state"
    text = path.read_text(encoding="utf-8")
    if spoilt == "other code":
        monkeypatch.setattr(snapshots, "code_print", lambda: 1)
    else:
        cut = {"scribbled": text.replace("40", "41"), "cut": text[:-9], "empty": ""}
        path.write_text(cut[spoilt], encoding="utf-8")
    assert loaded(folder) is None
    with Desk(folder, DAY, NOW) as desk:
        same(desk.book, fold(desk.store.entries()))


def test_a_state_from_before_a_merge_is_not_used(folder: Path) -> None:
    early = NOW - dt.timedelta(days=3)
    other = Entry(1, next_id(early), DAY, early, events.Moved("A", "bed"))
    with SqliteBook(folder / "book.db") as book, book.writing() as writing:
        writing.take_in([other])
    assert loaded(folder) is None


def test_a_desk_whose_book_was_merged_meanwhile_folds_it_anew(folder: Path) -> None:
    early = NOW - dt.timedelta(days=3)
    other = Entry(1, next_id(early), DAY, early, events.Moved("A", "bed"))
    with Desk(folder, DAY, NOW) as desk, SqliteBook(folder / "book.db") as store:
        assert desk.book.batches
        with store.writing() as writing:
            writing.take_in([other])
        record(desk, events.Moved("A", "frame"))
        anew = fold(store.entries())
        same(desk.book, anew)
        assert desk.book.entries == anew.entries


def test_a_folder_that_cannot_be_written_only_costs_time(tmp_path: Path) -> None:
    book: Any = fold([])
    book.stand_after(10**6, "id", list)
    assert not snapshots.keep(tmp_path / "no folder" / "book.state", book, 0)
