"""Run the command line: `python -m propagate`, or the installed `propagate`."""

import gc
import os
import sys


def main() -> None:
    """Run one command and leave with its exit status."""
    # The arrays are small: one thread is faster than starting many. Read when numpy loads.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.set_threshold(100_000)  # start-up makes much and throws away little
    from propagate.cli import run

    status = run(sys.argv[1:])
    gc.freeze()  # all goes at once: looking for rubbish first took a tenth of a label's time
    sys.exit(status)


if __name__ == "__main__":
    main()
