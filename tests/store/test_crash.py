"""A short run of the proof in tests/bench/crash.py: writers are killed, no promise is broken."""

import subprocess
import sys


def test_what_was_acknowledged_outlives_kills_at_random_moments() -> None:
    # In a process of its own: it forks, and the test runner has threads.
    line = [sys.executable, "-m", "tests.bench.crash", "--runs", "15", "--seed", "7"]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    first, acknowledged, *_ = done.stdout.splitlines()
    assert first.startswith("15 runs, 2 writers killed in each")
    assert int(acknowledged.split()[0]) >= 15
