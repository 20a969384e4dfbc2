"""A plain command answers at once: slow packages stay unloaded until they are needed."""

import subprocess
import sys

import pytest

HEAVY = {"scipy", "weasyprint", "jinja2", "zxingcpp", "starlette", "uvicorn", "rich", "icalendar"}
LOADED = """
import sys
from propagate.cli import run
status = run(sys.argv[1:])
tops = sorted({name.partition(".")[0] for name in sys.modules})
print(status, *tops, file=sys.stderr)
"""


def packages_loaded_by(*words: object) -> set[str]:
    command = [sys.executable, "-c", LOADED, *map(str, words)]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    status, *packages = ran.stderr.splitlines()[-1].split()
    assert status == "0"
    return set(packages)


def test_help_loads_nothing_heavy_not_even_numpy() -> None:
    assert not packages_loaded_by("--help") & (HEAVY | {"numpy", "cattrs", "sqlite3", "dateutil"})


@pytest.mark.parametrize("words", [("due",), ("forecast",), ("check", "M7KD", "--rooted", 3)])
def test_a_daily_command_loads_nothing_heavy(nursery, currants, words) -> None:
    assert not packages_loaded_by("--nursery", nursery, *words) & HEAVY


def test_the_module_runs_and_its_status_is_that_of_the_command(tmp_path) -> None:
    command = [sys.executable, "-m", "propagate", "show"]
    ran = subprocess.run(command, capture_output=True, text=True, cwd=tmp_path, check=False)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert "There is no nursery" in ran.stderr


def test_a_pipe_closed_early_is_no_trouble(nursery, currants) -> None:
    line = f"'{sys.executable}' -m propagate methods | head -1"
    ran = subprocess.run(["bash", "-c", line], capture_output=True, text=True, check=False)
    assert ran.stdout.startswith("method")
    assert ran.stderr == ""
