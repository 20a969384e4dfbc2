"""Backups: whole, made by themselves, kept in rotation, and put back without losing anything."""

import datetime as dt
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.actions.copies import back_up, backups_of, export, restore, verify
from propagate.actions.desk import Desk
from propagate.actions.recording import record
from propagate.errors import BrokenBook, NotFound, Refused
from propagate.names import parse
from propagate.records.events import Lost, Moved, Started
from propagate.store import SqliteBook, backups, schema
from propagate.store.backups import Backup, wanted
from propagate.store.opening import entries_of

NOW = dt.datetime(2027, 3, 12, 8, 30, tzinfo=dt.UTC)
START = Started("A", parse("Ribes nigrum"), "runner", 40)


def desk_at(folder: Path, days: int = 0) -> Desk:
    now = NOW + dt.timedelta(days=days)
    return Desk(folder, now.date(), now)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with desk_at(tmp_path) as desk:
        record(desk, START)
    return tmp_path


def test_the_first_entry_of_a_later_day_makes_a_backup_of_what_stood_before(folder: Path) -> None:
    assert backups_of(folder) == []
    with desk_at(folder, days=1) as desk:
        before = desk.store.entries()
        for place in ("bed", "frame"):
            record(desk, Moved("A", place))
    (copy,) = backups_of(folder)
    assert (copy.day, copy.what) == (dt.date(2027, 3, 13), "")
    assert entries_of(copy.path) == before


def test_reading_makes_no_backup(folder: Path) -> None:
    with desk_at(folder, days=1) as desk:
        assert desk.book.batches
    assert backups_of(folder) == []


def test_a_backup_made_while_others_write_is_whole(folder: Path) -> None:
    with desk_at(folder) as desk, SqliteBook(folder / "book.db") as other:
        with other.writing() as writing:
            writing.append(Moved("A", "frame"), NOW.date(), NOW)
            path = back_up(desk)
        assert len(entries_of(path)) == 1
        assert len(entries_of(back_up(desk))) == 2


def test_a_backup_that_cannot_be_written_keeps_nobody_from_writing(folder: Path) -> None:
    (folder / "backups").write_text("a file where the folder should be")
    with desk_at(folder, days=1) as desk:
        record(desk, Moved("A", "bed"))
        assert len(desk.store.entries()) == 2
        (remark,) = desk.remarks
    assert remark.startswith("The backup cannot be written")


def test_a_book_is_backed_up_before_it_is_led_on(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, lambda c: None))
    monkeypatch.setattr(schema, "pending", lambda c: ("next",))
    SqliteBook(folder / "book.db").close()
    (copy,) = backups_of(folder)
    assert copy.what == "before-upgrade"


def test_restoring_keeps_what_it_replaces(folder: Path) -> None:
    with desk_at(folder) as desk:
        backup = back_up(desk)
        record(desk, Lost("A", 3))
        done = restore(desk, None)
        assert (done.source, done.entries) == (backup, 1)
        assert len(desk.store.entries()) == 1
    assert done.replaced is not None
    assert len(entries_of(done.replaced)) == 2
    assert [copy.what for copy in backups_of(folder)].count("replaced") == 1
    with desk_at(folder) as desk:  # and back again
        assert restore(desk, done.replaced).entries == 2


def test_who_had_the_book_open_writes_into_the_restored_one(folder: Path) -> None:
    with SqliteBook(folder / "book.db") as other, desk_at(folder) as desk:
        back_up(desk)
        record(desk, Lost("A", 3))
        restore(desk, None)
        with other.writing() as writing:
            writing.append(Moved("A", "bed"), NOW.date(), NOW)
    with SqliteBook(folder / "book.db") as book:
        assert [type(e.event).__name__ for e in book.entries()] == ["Started", "Moved"]


def test_an_export_comes_back_byte_for_byte(folder: Path, tmp_path: Path) -> None:
    with desk_at(folder) as desk:
        record(desk, Lost("A", 3, "mice"))
        assert export(desk, tmp_path / "a.jsonl") == 2
        record(desk, Lost("A", 1))
        restore(desk, tmp_path / "a.jsonl")
        export(desk, tmp_path / "b.jsonl")
    assert (tmp_path / "a.jsonl").read_bytes() == (tmp_path / "b.jsonl").read_bytes()


@pytest.mark.parametrize("spoil", ["cut", "garbage", "none"])
def test_what_is_no_backup_is_refused_and_the_book_stays(folder: Path, spoil: str) -> None:
    source = folder / "backups" / "bad.db"
    source.parent.mkdir()
    whole = (folder / "book.db").read_bytes()
    if spoil != "none":
        source.write_bytes(whole[:5000] if spoil == "cut" else b"milk, eggs" * 999)
    with desk_at(folder) as desk:
        with pytest.raises((BrokenBook, NotFound)):
            restore(desk, source)
        assert len(desk.store.entries()) == 1
    assert (folder / "book.db").read_bytes() == whole


def test_without_a_backup_there_is_nothing_to_restore(folder: Path) -> None:
    with desk_at(folder) as desk, pytest.raises(NotFound, match="There is no backup in"):
        restore(desk, None)


# A damaged book leads to its latest backup, which brings it back


@pytest.mark.parametrize("damage", ["cut", "torn", "scribbled"])
def test_a_damaged_book_is_told_of_with_the_way_back(folder: Path, damage: str) -> None:
    with desk_at(folder, days=1) as desk:
        record(desk, Moved("A", "bed"))
    path = folder / "book.db"
    data = bytearray(path.read_bytes())
    if damage == "cut":
        del data[len(data) // 2 :]
    elif damage == "torn":
        data[4096 : 4096 * 3] = bytes(4096 * 2)
    else:
        data[:100] = b"x" * 100
    path.write_bytes(data)
    with desk_at(folder, days=1) as desk, pytest.raises(BrokenBook) as caught:
        record(desk, Lost("A", 1))
    said = str(caught.value)
    assert "The latest backup is of 13 Mar 2027; put it back with: propagate restore " in said
    name = said.rpartition("restore ")[2].rstrip(".")
    with desk_at(folder, days=1) as desk:
        done = restore(desk, Path(name))
        assert (verify(desk), done.entries) == (1, 1)
    assert done.replaced is not None
    assert done.replaced.read_bytes() == bytes(data)


# Rotation


@given(st.sets(st.dates(dt.date(2024, 1, 1), dt.date(2027, 12, 31)), min_size=1))
def test_rotation_keeps_the_last_days_then_weeks_then_months(days: set[dt.date]) -> None:
    copies = [Backup(Path(f"{day}"), day, "") for day in days]
    kept = {copy.day for copy in copies if copy.path in wanted(copies)}
    latest = sorted(days)
    assert set(latest[-7:]) <= kept
    assert len(kept) <= 7 + 5 + 24
    for day in latest:  # in every week and month with a backup, recent enough, one is kept
        months = sorted({(d.year, d.month) for d in days})[-24:]
        if (day.year, day.month) in months:
            assert any((d.year, d.month) == (day.year, day.month) for d in kept)


def test_what_a_restore_replaced_is_never_rotated_away(folder: Path) -> None:
    path = folder / "book.db"
    (folder / "backups").mkdir()
    for number in range(60):
        day = dt.date(2020, 1, 1) + dt.timedelta(days=40 * number)
        for what in ("", "-replaced"):
            (folder / "backups" / f"book-{day}-080000{what}.db").touch()
    backups.rotate(path)
    left = backups.found(path)
    assert sum(copy.what == "replaced" for copy in left) == 60
    assert sum(copy.what == "" for copy in left) == 24  # the last day of each of 24 months


# A full disk

FILL = """
import datetime as dt, resource, signal, sys
from pathlib import Path
from propagate.actions.desk import Desk
from propagate.actions.recording import record
from propagate.records.events import Moved
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
folder, limit = Path(sys.argv[1]), int(sys.argv[2])
resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
now = dt.datetime(2027, 3, 12, 9, tzinfo=dt.UTC)
with Desk(folder, now.date(), now) as desk:
    try:
        while True:
            print(record(desk, Moved("A", "bench " * 50)).id, flush=True)
    except Exception as error:
        print(f"{type(error).__name__}: {error}", flush=True)
"""


def test_a_full_disk_loses_nothing_that_was_acknowledged(folder: Path) -> None:
    # A limit on the size of files stands in for the disk: no rights are needed for it.
    limit = (folder / "book.db").stat().st_size + 40_000
    line = [sys.executable, "-c", FILL, str(folder), str(limit)]
    said = subprocess.run(line, capture_output=True, text=True, check=True, env=dict(os.environ))
    *acknowledged, refusal = said.stdout.splitlines()
    assert refusal.startswith("BrokenBook: The disk did not take it")
    assert len(acknowledged) > 20
    with SqliteBook(folder / "book.db") as book:
        book.verify()
        assert [entry.id for entry in book.entries()][1:] == acknowledged
    with desk_at(folder) as desk:  # with room again, writing goes on
        record(desk, Moved("A", "bed"))


def test_a_book_in_a_database_is_not_replaced_by_a_file(folder: Path) -> None:
    (folder / "nursery.toml").write_text('name = "N"\n[book]\nurl = "postgresql://x/y"\n')
    with desk_at(folder) as desk, pytest.raises(Refused, match="lies in a database"):
        restore(desk, None)
