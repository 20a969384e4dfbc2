"""Run the command line: `python -m propagate`, or the installed `propagate`."""

import os
import sys


def main() -> None:
    """Run one command and leave with its exit status."""
    # The arrays are small: one thread is faster than starting many. Read when numpy loads.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from propagate.cli import run

    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
