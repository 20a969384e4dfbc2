"""The bench page under load: pages of a book with 2,000 batches, 20 growers at once, weights.

`python -m tests.bench.web` makes the big book, serves it on loopback and asks every kind of page
(median and 95 % of 30 requests each); then 20 clients write and read for a minute in a nursery
of usual size, and every accepted entry is looked for in the book. `--seconds N` shortens that.
"""

import datetime as dt
import re
import statistics
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.parse
import urllib.request
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.recording import BatchPlan, start_batch
from propagate.names import parse
from propagate.web.room import Room
from tests.bench import big_book
from tests.web.served import on_loopback

MOST_MS = 300.0
CLIENTS, SECONDS = 20, 60
ROUNDS = 30
PLANTS = 400


@contextmanager
def served(folder: Path, today: dt.date) -> Iterator[str]:
    """The address of the pages of a nursery, while they are served."""
    room = Room(folder, today, lambda: dt.datetime.now(dt.UTC))
    room.warm_up()
    with on_loopback(room, "Bench") as home:
        yield home


def get(home: str, path: str) -> bytes:
    with urllib.request.urlopen(home + path, timeout=60) as answer:
        content: bytes = answer.read()
    return content


def big_pages() -> list[str]:
    """Medians of each page of the big book, first the time of the very first page."""
    lines = []
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "big"
        big_book.make(folder)
        with served(folder, big_book.LAST) as home:
            began = time.perf_counter()
            get(home, "/")
            lines.append(f"{'first page after the start':<32}{time.perf_counter() - began:6.1f} s")
            code = re.search(rb"/T/(\w+)", get(home, "/trays"))
            assert code
            tray = f"/T/{code[1].decode()}"
            pages = ["/", "/trays", tray, f"{tray}/outlook", f"{tray}/history", "/methods?month=11"]
            pages += ["/start", "/print", "/beds", "/benches", "/news"]
            lines += [line_of(home, path) for path in pages]
    return lines


def line_of(home: str, path: str) -> str:
    get(home, path)
    times = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        content = get(home, path)
        times.append((time.perf_counter() - began) * 1000)
    median, late = statistics.median(times), statistics.quantiles(times, n=20)[-1]
    verdict = "" if median < MOST_MS else "   TOO SLOW"
    kb = len(content) / 1000
    return f"{path:<32}{median:6.0f} ms median {late:6.0f} ms 95 % {kb:6.0f} kB{verdict}"


def many_clients(seconds: float) -> list[str]:
    """20 clients write losses of one plant and read pages; each entry must be in the book."""
    today = dt.date(2026, 11, 20)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "busy"
        found_nursery(folder, "Busy")
        with Desk(folder, today, dt.datetime.now(dt.UTC)) as desk:
            plan = BatchPlan(parse("Ficus carica"), "hardwood-cutting", PLANTS, today)
            codes = [start_batch(desk, plan).code for _ in range(CLIENTS)]
        told: Counter[str] = Counter()
        with served(folder, today) as home:
            until = time.monotonic() + seconds
            threads = [
                threading.Thread(target=grower, args=(home, code, until, told)) for code in codes
            ]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
        with Desk(folder, today, dt.datetime.now(dt.UTC)) as desk:
            lost = sum(PLANTS - desk.book.batch(code).living for code in codes)
    kept = "all in the book" if lost == told["written"] else f"ONLY {lost} IN THE BOOK"
    return [
        f"{CLIENTS} clients for {seconds:.0f} s: {told['read']} pages read, "
        f"{told['written']} entries written, {kept}; {told['errors']} errors"
    ]


def grower(home: str, code: str, until: float, told: Counter[str]) -> None:
    """Read a tray's page, write off one plant, look at the round; over and over."""
    while time.monotonic() < until:
        try:
            page = get(home, f"/T/{code}").decode()
            fields = dict(re.findall(r'name="(request|seen)" value="([^"]*)"', page))
            body = urllib.parse.urlencode({**fields, "count": 1}).encode()
            asked = urllib.request.Request(
                f"{home}/T/{code}/lose",
                body,
                {"Origin": home, "Accept": "application/json"},
            )
            with urllib.request.urlopen(asked, timeout=60):
                told["written"] += 1
            get(home, "/")
            told["read"] += 2
        except (urllib.error.URLError, OSError) as error:
            told["errors"] += 1
            told[str(error)] += 1


def main() -> None:
    """Tell all of it."""
    seconds = SECONDS
    if "--seconds" in sys.argv:
        seconds = int(sys.argv[sys.argv.index("--seconds") + 1])
    sys.stdout.write("\n".join(big_pages()) + "\n")
    sys.stdout.flush()
    sys.stdout.write("\n".join(many_clients(seconds)) + "\n")


if __name__ == "__main__":
    main()
