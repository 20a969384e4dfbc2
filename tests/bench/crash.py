"""Kill writers at random moments, hundreds of times, and look what the book has kept.

`python -m tests.bench.crash` makes 500 runs (`--runs N` for another number, `--seed N` for other
moments). In each, two processes write as fast as they can, single entries and pairs that belong
together, each telling through a pipe what was acknowledged; each is killed with SIGKILL at a
moment of its own. Then the book is opened anew, as whoever comes next would, and must hold every
acknowledged entry once, no half of a pair, nothing that cannot be read, and accounts that add up.

A kill shows what a crash of the program does. A power cut also takes what the system had not
yet flushed: against that stand the flushes that tests/store/test_sqlite.py looks for.
"""

import argparse
import datetime as dt
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from attrs import define

from propagate.actions.desk import Desk
from propagate.actions.recording import BatchPlan, Dated, record, record_all, start_batch
from propagate.ledger import fold
from propagate.names import parse
from propagate.paths import BOOK_FILE
from propagate.records.events import Lost, Moved
from propagate.store import SqliteBook

WRITERS = 2
NOW = dt.datetime(2027, 3, 12, 8, 30, tzinfo=dt.UTC)
PLANTS = 20_000
RUNS_A_BOOK = 10  # then a new one, so that looking through it stays quick
LONGEST_S = 0.1
READY = b"r"


@define
class Tally:
    """What came of the runs."""

    runs: int = 0
    acknowledged: int = 0
    unacknowledged: int = 0
    rolled_back: int = 0


def write_until_killed(folder: Path, number: int, out: int) -> None:
    """Write entries and pairs for ever, and say which were acknowledged."""
    with Desk(folder, NOW.date(), NOW, f"writer {number}") as desk:
        code = next(iter(desk.book.batches))
        os.write(out, READY)
        for turn in range(10**9):
            key = f"{os.getpid()}-{turn}-{time.monotonic_ns()}"
            if turn % 2:
                entries = (record(desk, Lost(code, 1), request=key),)
            else:
                pair = [Dated(Lost(code, 2), NOW.date()), Dated(Moved(code, key), NOW.date())]
                entries = record_all(desk, lambda _, pair=pair: pair, request=key)
            os.write(out, "".join(f"{entry.id}\n" for entry in entries).encode())


def one_run(folder: Path, chance: random.Random) -> set[str]:
    """Start the writers, kill each at its moment; return the ids they had acknowledged."""
    receivers, children = [], []
    for number in range(WRITERS):
        receiver, sender = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                write_until_killed(folder, number, sender)
            finally:
                os._exit(1)
        os.close(sender)
        receivers.append(receiver)
        children.append(child)
    for receiver in receivers:
        assert os.read(receiver, len(READY)) == READY
    moments = sorted((chance.uniform(0, LONGEST_S), child) for child in children)
    began = time.monotonic()
    for moment, child in moments:
        time.sleep(max(0.0, began + moment - time.monotonic()))
        os.kill(child, signal.SIGKILL)
    for child in children:
        _, status = os.waitpid(child, 0)
        assert os.WIFSIGNALED(status), "a writer ended by itself"
    said = [_all_of(receiver) for receiver in receivers]
    return {line for text in said for line in text.splitlines(keepends=True) if line[-1] == "\n"}


def _all_of(receiver: int) -> str:
    with os.fdopen(receiver) as pipe:
        return pipe.read()


def look(folder: Path, acknowledged: set[str], before: int, tally: Tally) -> int:
    """Open the book as the next one would and hold it against what was promised."""
    tally.rolled_back += (folder / f"{BOOK_FILE}-journal").exists()
    with SqliteBook(folder / BOOK_FILE) as book:
        book.verify()
        entries = book.entries()
    ids = Counter(entry.id for entry in entries)
    assert set(ids.values()) == {1}, "an entry is there twice"
    assert {line.strip() for line in acknowledged} <= set(ids), "an acknowledged entry is lost"
    assert [entry.seq for entry in entries] == list(range(1, len(entries) + 1))
    pairs = Counter(entry.request for entry in entries if entry.request)
    for entry in entries:
        alone = entry.event == Lost(getattr(entry.event, "batch", ""), 1)
        assert not entry.request or pairs[entry.request] == 2 - alone, "half of a pair is there"
    state = fold(entries)
    assert not state.conflicts
    for batch in state.batches.values():
        assert batch.balances.total() == batch.count == PLANTS
        assert min(batch.balances.values()) >= 0
    tally.unacknowledged += len(entries) - before
    return len(entries)


def prove(runs: int, seed: int) -> Tally:
    """Make so many runs; raises AssertionError at the first promise that is broken."""
    chance, tally = random.Random(seed), Tally()
    with tempfile.TemporaryDirectory(dir=os.environ.get("CRASH_FOLDER")) as scratch:
        for run in range(runs):
            if run % RUNS_A_BOOK == 0:
                folder, acknowledged = Path(scratch) / str(run), set[str]()
                folder.mkdir()
                with Desk(folder, NOW.date(), NOW) as desk:
                    start_batch(desk, BatchPlan(parse("Salix alba"), "runner", PLANTS, NOW.date()))
                    count = len(desk.store.entries())
            new = one_run(folder, chance)
            acknowledged |= new
            tally.runs += 1
            tally.acknowledged += len(new)
            count = look(folder, acknowledged, count + len(new), tally)
    return tally


def main(words: Sequence[str]) -> None:
    """Make the runs and say what came of them."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(words)
    began = time.perf_counter()
    tally = prove(asked.runs, asked.seed)
    seconds = time.perf_counter() - began
    sys.stdout.write(
        f"{tally.runs} runs, {WRITERS} writers killed in each, {seconds:.0f} s\n"
        f"{tally.acknowledged} entries acknowledged: all there, each once\n"
        f"{tally.unacknowledged} more written whole but killed before they could say so\n"
        f"{tally.rolled_back} times half a write lay beside the book and was undone on opening\n"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
