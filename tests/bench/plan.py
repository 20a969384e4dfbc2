"""How long a plan takes, and how near the best it is.

`python -m tests.bench.plan` (with `large` for 400 wants). A made-up nursery: each want is of a
plant of its own, which may be raised by six methods, each in a season of its own over 52 weeks;
one bench for all. "Ordinary" bench is what an unhindered plan would take at its fullest, and
half as much again; "scarce" is six tenths of it. Columns: possible starts, CPU seconds to find
their numbers, CPU seconds to choose, how far above the bound of the linear relaxation, and what
is given up.
"""

import datetime as dt
import sys
import time

import numpy as np
from attrs import evolve, frozen

from propagate.ledger import Book
from propagate.library.library import Match
from propagate.names import PlantName, parse
from propagate.planning.beds import make_supplies
from propagate.planning.gaps import gaps_of
from propagate.planning.limits import Circumstances, gather
from propagate.planning.plans import PlanQuestion, all_starts, make_plan, task_of
from propagate.planning.solving import solve
from propagate.records.beds import Want
from propagate.records.methods import Figure, Method, MethodRecord, Season, Stage, Stand
from propagate.records.nursery import Nursery, Place, PlanSettings
from propagate.settings import COMMON_FROSTS

TODAY = dt.date(2026, 11, 25)
METHODS = 6
WORDS = ("cutting", "cuttings", "rooting", "rooted", "pot on")


@frozen
class MadeUpLibrary:
    """Six methods; every plant has a record of its own by each."""

    records: dict[tuple[str, str], MethodRecord]

    @property
    def ids(self) -> tuple[str, ...]:
        """The methods' ids."""
        return tuple(f"way-{number}" for number in range(METHODS))

    def method(self, method_id: str) -> Method:
        """A method with words of no account."""
        general = next(r for (m, _), r in self.records.items() if m == method_id)
        name = method_id.replace("-", " ")
        return Method(method_id, name, "A way.", *WORDS, ("Do it.",), "sand", general)

    def record(self, method_id: str, name: PlantName) -> Match:
        """The plant's own record."""
        return Match(self.records[method_id, name.species_name], "species", "Made up.")


def record(rng: np.random.Generator, method_id: str, plant: str) -> MethodRecord:
    """Weeks, take and season drawn at random."""
    weeks, take = float(rng.uniform(2, 10)), float(rng.uniform(0.4, 0.8))
    taking = Stage(
        "rooting",
        "take",
        Figure(weeks, weeks * float(rng.uniform(1.3, 2.2)), "memory"),
        Figure(take, take + 0.15, "memory"),
    )
    grows = float(rng.uniform(3, 8))
    growing = Stage(
        "establishing",
        "establish",
        Figure(grows, grows * 1.8, "memory"),
        Figure(0.85, 0.97, "memory"),
    )
    first = int(rng.integers(0, 12))
    months = tuple((first + m) % 12 + 1 for m in range(int(rng.integers(4, 8))))
    stand = Stand((float(rng.uniform(2, 6)), 5.0), "memory")
    return MethodRecord(
        method_id, plant, (taking, growing), Season(("dormant",), months), stand=stand
    )


def question(wants: int, bench_m2: float | None, seed: int = 1) -> PlanQuestion:
    """A nursery with so many wants, a year ahead and more."""
    rng = np.random.default_rng(seed)
    names = [parse(f"Planta {_word(number)}") for number in range(wants)]
    made = MadeUpLibrary(
        {
            (method_id, name.species_name): record(rng, method_id, name.species_name)
            for name in names
            for method_id in (f"way-{number}" for number in range(METHODS))
        }
    )
    asked = [
        Want(
            f"bed {number}",
            name,
            int(rng.integers(10, 60)),
            TODAY + dt.timedelta(weeks=int(rng.integers(46, 60))),
            0.9,
            int(rng.integers(1, 4)),
        )
        for number, name in enumerate(names)
    ]
    plan = PlanSettings(places=dict.fromkeys(made.ids, "bench"))
    nursery = Nursery(
        "Made up",
        "north",
        **COMMON_FROSTS["north"],
        places={"bench": Place("bench", size_m2=bench_m2)},
        plan=plan,
    )
    supplies = make_supplies([], asked, nursery, TODAY)
    around = Circumstances(nursery, TODAY, [], {})
    return PlanQuestion(around, Book(), made, [], list(supplies.values()), asked)


def _word(number: int) -> str:
    letters = "abcdefghij"
    return "v" + "".join(letters[int(digit)] for digit in f"{number:03d}") + "a"


def fullest_m2(wants: int) -> float:
    """What the plan takes of the bench at its fullest when there is no limit."""
    answer = make_plan(question(wants, 1e9))
    return max(max(place.planned_m2) for place in answer.places)


def timed(wants: int, bench_m2: float, seconds: float) -> str:
    """One plan, as a row."""
    asked = question(wants, bench_m2)
    began, cpu = time.perf_counter(), time.process_time()
    found = gaps_of(asked.supplies)
    starts, _ = all_starts(asked, found, lambda _: None)
    looked_cpu = time.process_time()
    gaps = [gap for gap, _ in found]
    limits = gather(starts, gaps, asked.around)
    solution = solve(task_of(starts, gaps, limits, asked), seconds=seconds)
    done, done_cpu = time.perf_counter(), time.process_time()
    lost = solution.given_up.sum()
    return (
        f"{wants:>5}{bench_m2:>8.1f} m2{len(starts):>8}{looked_cpu - cpu:>9.2f}"
        f"{done_cpu - looked_cpu:>9.2f}{done - began:>9.2f}{solution.above_bound * 100:>9.2f} %"
        f"{lost:>8.0f}\n"
    )


def whole(wants: int, bench_m2: float, tell=lambda _: None) -> float:
    """Seconds for a whole plan, reasons and all."""
    asked = evolve(question(wants, bench_m2), seconds=10.0)
    began = time.perf_counter()
    make_plan(asked, tell)
    return time.perf_counter() - began


def main() -> None:
    """Time plans of 40 wants, or of 400."""
    large = "large" in sys.argv[1:]
    wants = 400 if large else 40
    question(2, 1.0)
    make_plan(question(2, 1.0))  # loads the solver
    most = fullest_m2(wants)
    sys.stdout.write("wants    bench   starts  numbers  choice  elapsed  above     given up\n")
    sys.stdout.write(timed(wants, 1.5 * most, 10.0))
    sys.stdout.write(timed(wants, 0.6 * most, 20.0 if large else 10.0))
    tell = (lambda text: sys.stdout.write(f"  {text}\n")) if large else (lambda _: None)
    sys.stdout.write(f"a whole plan at ordinary bench: {whole(wants, 1.5 * most, tell):.2f} s\n")


if __name__ == "__main__":
    main()
