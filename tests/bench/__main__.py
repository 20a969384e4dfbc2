"""How long the commands take as whole processes, beside a bare Python in the same run.

Run `python -m tests.bench` in the project's root. Absolute times move with the machine; the
ratio to a bare interpreter started in the same round moves less, so that is what to watch.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 9
TODAY = "2026-11-20"


def main() -> None:
    """Time each command in interleaved rounds and print medians with their ratios."""
    with tempfile.TemporaryDirectory() as scratch:
        nursery = Path(scratch) / "demo"
        demo_s = seconds([sys.executable, "-m", "propagate", "demo", str(nursery)])
        medians = interleaved(commands(nursery, Path(scratch)))
    bare_s = medians["bare python"]
    print(f"{'what':<28}{'median ms':>10}{'x bare':>8}")
    for name, median_s in medians.items():
        print(f"{name:<28}{median_s * 1000:>10.0f}{median_s / bare_s:>8.1f}")
    print(f"{'demo, all its prints (once)':<28}{demo_s * 1000:>10.0f}{demo_s / bare_s:>8.1f}")


def commands(nursery: Path, scratch: Path) -> dict[str, list[str]]:
    """The command lines to time, by what they are called in the table."""
    python = sys.executable
    at = [python, "-m", "propagate", "--nursery", str(nursery), "--today", TODAY]
    code = "M7KD"
    return {
        "bare python": [python, "-c", "pass"],
        "import numpy": [python, "-c", "import numpy"],
        "--help": [python, "-m", "propagate", "--help"],
        "due": [*at, "due"],
        "forecast --json": [*at, "forecast", "--json"],
        "history": [*at, "history"],
        "methods fig": [*at, "methods", "fig"],
        "one label as PDF": [*at, "labels", code, "-o", str(scratch / "one.pdf")],
        "stock sheet as PDF": [*at, "sheet", "-o", str(scratch / "stock.pdf")],
    }


def interleaved(lines: dict[str, list[str]]) -> dict[str, float]:
    """Median seconds of each command over rounds that run all of them in turn."""
    taken: dict[str, list[float]] = {name: [] for name in lines}
    for _ in range(ROUNDS):
        for name, line in lines.items():
            taken[name].append(seconds(line))
    return {name: statistics.median(times) for name, times in taken.items()}


def seconds(line: list[str]) -> float:
    """Wall-clock seconds of one process; it must succeed."""
    began = time.perf_counter()
    subprocess.run(line, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - began


if __name__ == "__main__":
    main()
