"""Run the command line: `python -m propagate`, or the installed `propagate`."""

import sys


def main() -> None:
    """Run one command and leave with its exit status."""
    from propagate.cli import run

    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
