"""The store under load, as ratios: appends against a bare database, long books, many writers.

`python -m tests.bench.store`; `--million` adds a book of a million entries. A plain insert in the
same journal mode and with the same flushes is timed in the same rounds as the program's own
entry, read, tried, refused or taken; the machine's mood falls on both alike.
"""

import datetime as dt
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import numpy as np

from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.recording import record
from propagate.codes import code
from propagate.ledger import fold
from propagate.names import parse
from propagate.paths import BOOK_FILE
from propagate.records import events
from propagate.records.events import Entry, Event
from propagate.store import SqliteBook, codec
from propagate.store.ids import entry_id

LAST = dt.date(2026, 11, 20)
NOW = dt.datetime.combine(LAST, dt.time(18), dt.UTC)
APPENDS = 200
WRITERS, WRITTEN = 8, 2_000
IN_THE_TRAY = 60  # batches of this season; the others are done


def season_after_season(entries: int, batches: int) -> Iterator[tuple[dt.date, Event]]:
    """A long book: batches come, are moved, checked and potted, and go; the last ones stand."""
    rng = np.random.default_rng(4)
    each, name = entries // batches, parse("Ribes nigrum")
    for number in range(batches):
        batch, done = code(number), number < batches - IN_THE_TRAY
        begun = LAST - dt.timedelta(days=60 + 2 * (batches - number) if done else 200)
        days = [begun + dt.timedelta(days=int(d)) for d in np.sort(rng.integers(1, 55, each - 5))]
        yield begun, events.Started(batch, name, "hardwood-cutting", 40, "sand bed")
        yield begun, events.StepDone(batch, "watered")
        for on in days:
            yield on, events.Moved(batch, f"bench {int(rng.integers(9))}")
        end = begun + dt.timedelta(days=56)
        yield end, events.Checked(batch, int(rng.integers(20, 33)), 3)
        if done:
            yield end, events.PottedOn(batch, 20)
            yield end, events.Lost(batch, 17, "cleared", "")


def make(folder: Path, entries: int, batches: int) -> int:
    """Make such a book; return how many entries it has."""
    found_nursery(folder, "Long book")
    lines = sorted(season_after_season(entries, batches), key=lambda line: line[0])
    with SqliteBook(folder / BOOK_FILE) as book, book.writing() as writing:
        writing.take_in(
            Entry(0, entry_id(NOW - dt.timedelta(hours=9), n << 9), on, NOW, event)
            for n, (on, event) in enumerate(lines)
        )
    return len(lines)


def append_ratio(folder: Path) -> tuple[float, float]:
    """Median seconds of an entry through the whole program, and of a plain insert beside it."""
    ours, plain = [], []
    with closing(sqlite3.connect(folder / "plain.db", isolation_level=None)) as bare:
        bare.execute("PRAGMA synchronous = EXTRA")
        bare.execute("CREATE TABLE line (seq INTEGER PRIMARY KEY, id TEXT UNIQUE, body TEXT)")
        with Desk(folder, LAST, NOW) as desk:
            batch = next(reversed(desk.book.batches))
            body = codec.dump(events.Moved(batch, "bed"))
            for number in range(APPENDS):
                ours.append(seconds(lambda: record(desk, events.Moved(batch, "bed"))))
                key = entry_id(NOW, number)
                plain.append(seconds(lambda key=key: _insert(bare, key, body)))
    return statistics.median(ours), statistics.median(plain)


def _insert(bare: sqlite3.Connection, key: str, body: str) -> None:
    bare.execute("BEGIN IMMEDIATE")
    bare.execute("INSERT INTO line (id, body) VALUES (?, ?)", (key, body))
    bare.execute("COMMIT")


def write_together(folder: Path) -> tuple[float, int]:
    """Seconds for eight processes to write 2,000 entries in all, and the entries there are."""
    with Desk(folder, LAST, NOW) as desk:
        batch = next(reversed(desk.book.batches))
        before = desk.store.last()[0]
    began, children = time.perf_counter(), []
    for _ in range(WRITERS):
        child = os.fork()
        if child == 0:
            status = 1
            try:
                with Desk(folder, LAST, NOW) as desk:
                    for _ in range(WRITTEN // WRITERS):
                        record(desk, events.Moved(batch, "bed"))
                status = 0
            finally:
                os._exit(status)
        children.append(child)
    failed = sum(os.waitpid(child, 0)[1] != 0 for child in children)
    took = time.perf_counter() - began
    assert not failed, f"{failed} writers were turned away"
    with SqliteBook(folder / BOOK_FILE) as book:
        return took, book.last()[0] - before


def seconds(deed: Callable[[], object]) -> float:
    """Wall-clock seconds of a deed."""
    began = time.perf_counter()
    deed()
    return time.perf_counter() - began


def best(deed: Callable[[], object], of: int = 3) -> float:
    """The best of several times: the machine's mood only ever adds."""
    return min(seconds(deed) for _ in range(of))


def long_book(folder: Path, entries: int, batches: int) -> None:
    """Tell what a long book costs to open, to answer from and to write in."""
    count = make(folder, entries, batches)
    path = folder / BOOK_FILE
    line = [sys.executable, "-m", "propagate", "--nursery", str(folder), "--today", str(LAST)]
    due_s = best(lambda: subprocess.run([*line, "due"], check=True, stdout=subprocess.DEVNULL))
    with SqliteBook(path) as book:
        read_s = best(book.entries)
        found = book.entries()
        fold_s = best(lambda: fold(found))
        check_s = best(book.verify)
    megabytes = path.stat().st_size / 1e6
    ours_s, plain_s = append_ratio(folder)
    say(f"{count} entries, {batches} batches, {IN_THE_TRAY} in the tray, {megabytes:.0f} MB")
    say(f"  due, the whole command          {due_s:8.2f} s")
    say(f"  of it reading every entry       {read_s:8.2f} s ({1e6 * read_s / count:.1f} us each)")
    say(f"  and folding them                {fold_s:8.2f} s ({1e6 * fold_s / count:.1f} us each)")
    check_ms = 1e3 * check_s
    say(f"  looking through every page      {check_ms:8.1f} ms ({check_ms / megabytes:.2f} a MB)")
    say(f"  an entry, tried and written     {1e3 * ours_s:8.2f} ms")
    say(f"  a plain insert, flushed alike   {1e3 * plain_s:8.2f} ms: {ours_s / plain_s:.2f} times")


def say(text: str) -> None:
    """Print a line at once."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def main() -> None:
    """Measure, and print the figures."""
    with tempfile.TemporaryDirectory() as scratch:
        long_book(Path(scratch) / "short", 2_000, 100)
        took, there = write_together(Path(scratch) / "short")
        say(f"  {WRITERS} processes, {WRITTEN} entries   {took:8.2f} s: {there} kept")
        long_book(Path(scratch) / "long", 100_000, 1_000)
        if "--million" in sys.argv:
            long_book(Path(scratch) / "longest", 1_000_000, 2_000)


if __name__ == "__main__":
    main()
