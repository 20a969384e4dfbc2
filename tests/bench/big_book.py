"""A large made-up book: 2,000 batches and 20,000 entries, written in one transaction.

`python -m tests.bench.big_book FOLDER` makes it; without a folder it is made aside, and whole
commands on it are timed. No chance of the machine enters: the numbers come from a fixed seed.
"""

import datetime as dt
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

from propagate.actions.desk import library_only
from propagate.actions.founding import found_nursery
from propagate.codes import code
from propagate.names import PlantName, parse
from propagate.paths import BOOK_FILE
from propagate.records import events
from propagate.records.events import Event
from propagate.records.methods import MethodRecord
from propagate.store import SqliteBook, lessons, snapshots
from propagate.units import DAYS_PER_WEEK

BATCHES, ENTRIES = 2_000, 20_000
FIRST, LAST = dt.date(2023, 3, 1), dt.date(2026, 11, 20)
Dated = tuple[dt.date, Event]


def make(folder: Path, batches: int = BATCHES, entries: int = ENTRIES) -> None:
    """Make a nursery in `folder` whose book holds so many batches and entries."""
    found_nursery(folder, "Big book")
    now = dt.datetime.combine(LAST, dt.time(18), dt.UTC)
    with SqliteBook(folder / BOOK_FILE) as book, book.writing() as writing:
        for on, event in dated_events(batches, entries):
            writing.append(event, on, now)


def dated_events(batches: int, entries: int) -> list[Dated]:
    """What happened, in order of time; moves to another bench fill up to the number asked."""
    rng = np.random.default_rng(20)
    records = _records()
    told: list[Dated] = []
    started: list[tuple[dt.date, str]] = []
    for number in range(batches):
        method, name, record = records[int(rng.integers(len(records)))]
        begun = FIRST + dt.timedelta(days=int(rng.integers((LAST - FIRST).days)))
        started.append((begun, code(number)))
        told += _life(rng, (code(number), method, name), record, begun)
    while len(told) < entries:
        begun, batch = started[int(rng.integers(batches))]
        on = begun + dt.timedelta(days=int(rng.integers((LAST - begun).days + 1)))
        told.append((on, events.Moved(batch, f"bench {int(rng.integers(1, 9))}")))
    # Sorting is stable and a batch's own entries are in order: none comes before its start.
    return sorted(told, key=lambda pair: pair[0])


def _records() -> list[tuple[str, PlantName, MethodRecord]]:
    """Two hundred pairs of plant and method that the shipped library has a record of."""
    library = library_only()
    every = [
        (record.method, parse(record.plant), record)
        for record in library.search()
        if record.plant is not None
    ]
    return every[:: max(1, len(every) // 200)][:200]


def _life(
    rng: np.random.Generator, ids: tuple[str, str, PlantName], record: MethodRecord, begun: dt.date
) -> Iterator[Dated]:
    """One batch from its start to beds: checks while it roots, then pots in two goes."""
    batch, method, name = ids
    count, weeks = int(rng.integers(24, 105)), record.taking.weeks
    yield begun, events.Started(batch, name, method, count, "bench 1")
    take = float(rng.beta(7, 3))
    middle = DAYS_PER_WEEK * (weeks.low + weeks.high) / 2 * float(rng.lognormal(0, 0.15))
    rooting = middle * rng.lognormal(0, 0.25, count)
    rooting[rng.random(count) > take] = np.inf
    dying = np.where(np.isinf(rooting), middle * rng.lognormal(-0.5, 0.8, count), np.inf)
    dying[rng.random(count) < 0.5] = np.inf
    potted = dead = 0
    for step, day in enumerate(middle * np.array([0.8, 1.1, 1.6])):
        on = begun + dt.timedelta(days=round(day))
        if on > LAST:
            return
        rooted, died = int((rooting <= day).sum()), int((dying <= day).sum())
        yield on, events.Checked(batch, rooted - potted, died - dead)
        dead = died
        if step and rooted > potted:
            yield on, events.PottedOn(batch, rooted - potted, "9 cm pot")
            potted = rooted
    if potted > 4:
        later = min(on + dt.timedelta(days=40), LAST)
        yield later, events.Promised(batch, potted // 4, "the school")
        yield later, events.Lost(batch, 1, "slugs", "potted")
        yield later, events.Given(batch, potted // 4, "the school")


def main() -> None:
    """Make the book, then time whole commands on it: the first time, and the best of three more."""
    if len(sys.argv) > 1:
        make(Path(sys.argv[1]))
        return
    with tempfile.TemporaryDirectory() as scratch:
        nursery = Path(scratch) / "big"
        lines = [f"{'making it':<36}{_seconds_of(lambda: make(nursery)):.2f} s"]
        lines.append(f"{'':<36}first   then")
        at = [sys.executable, "-m", "propagate", "--nursery", str(nursery), "--today", str(LAST)]
        for words in ("forecast --json", "forecast --json --by 2027-06-01", "due"):
            line = [*at, *words.split()]
            shutil.rmtree(nursery / lessons.FOLDER, ignore_errors=True)
            (nursery / snapshots.FILE).unlink(missing_ok=True)
            first, *again = (_seconds_of(lambda line=line: _run(line)) for _ in range(4))
            lines.append(f"{words:<36}{first:.2f} s {min(again):.2f} s")
    sys.stdout.write("\n".join(lines) + "\n")


def _run(line: list[str]) -> None:
    subprocess.run(line, check=True, stdout=subprocess.DEVNULL)


def _seconds_of(deed: Callable[[], None]) -> float:
    began = time.perf_counter()
    deed()
    return time.perf_counter() - began


if __name__ == "__main__":
    main()
