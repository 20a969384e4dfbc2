"""Twenty generations and 100,000 batches: how long folding and tracing take, and how they grow.

`python -m tests.bench.deep_family` prints seconds for a book of 10,000 and one of 100,000
batches, and the ratio, which is 10 where the time grows with the book alone.
"""

import datetime as dt
import sys
import time
from collections.abc import Callable
from typing import Any

from propagate.cli.tracing import family_lines
from propagate.ledger import family, fold
from propagate.names import parse
from propagate.records import events
from propagate.records.events import Entry, Event

GENERATIONS = 20
CURRANT, DAY = parse("Ribes nigrum"), dt.date(2027, 3, 1)
NOW = dt.datetime(2027, 3, 1, tzinfo=dt.UTC)


def journal(batches: int) -> tuple[Entry, ...]:
    """A mother, her batches, a mother raised from each of them, and so on down."""
    wide = batches // GENERATIONS
    told: list[Event] = [events.StockPlantAdded("m0 0", CURRANT)]
    for depth in range(GENERATIONS):
        for at in range(wide):
            key, code = f"m{depth} {at if depth else 0}", f"b{depth} {at}"
            told.append(events.Started(code, CURRANT, "hardwood-cutting", 20, stock_plant=key))
            told.append(events.StockPlantAdded(f"m{depth + 1} {at}", CURRANT, code))
            told.append(events.PlantedOut(code, 5, f"row {at % 50}", "waiting"))
    told.append(events.Suspected("galls", stock_plant="m0 0"))
    return tuple(Entry(seq, f"e{seq}", DAY, NOW, event) for seq, event in enumerate(told, 1))


def main() -> None:
    """Time both books and print the table."""
    seconds: dict[str, list[float]] = {}
    for batches in (10_000, 100_000):
        entries = journal(batches)
        book = timed(
            seconds, "fold, with a suspicion of all", lambda entries=entries: fold(entries)
        )
        found = timed(seconds, "trace", lambda book=book: family(book, "mother", "m0 0", DAY))
        timed(seconds, "tell as text", lambda found=found: sum(1 for _ in family_lines(found)))
    lines = [f"{'':<32}{'10,000':>9}{'100,000':>9}{'ratio':>7}"]
    lines += [f"{name:<32}{a:>8.2f}s{b:>8.2f}s{b / a:>7.1f}" for name, (a, b) in seconds.items()]
    sys.stdout.write("\n".join(lines) + "\n")


def timed(seconds: dict[str, list[float]], name: str, deed: Callable[[], Any]) -> Any:
    """What the deed gives; its time goes under its name."""
    began = time.perf_counter()
    given = deed()
    seconds.setdefault(name, []).append(time.perf_counter() - began)
    return given


if __name__ == "__main__":
    main()
