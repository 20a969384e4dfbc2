"""The one test command: style, types, tests. Run `python -m tests` in the project's root."""

import os
import subprocess
import sys
import time

STEPS = (
    ("style", ["ruff", "check", "."]),
    ("format", ["ruff", "format", "--check", "."]),
    ("types", ["mypy"]),
    ("tests", ["pytest", "-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder"]),
)


def main() -> int:
    """Run every step, even after one failed, and tell at the end which did."""
    # Each worker, and each program that a test starts, would else compile everything anew.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    failed = []
    for name, command in STEPS:
        began = time.perf_counter()
        print(f"== {name}: {' '.join(command)}", flush=True)
        status = subprocess.run([sys.executable, "-m", *command], check=False).returncode
        print(f"== {name} took {time.perf_counter() - began:.1f} s", flush=True)
        if status:
            failed.append(name)
    print(f"failed: {', '.join(failed)}" if failed else "all steps passed", flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
