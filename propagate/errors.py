"""One parent for every error a grower can meet, and the record of a collected problem.

A message says what is wrong, what was given, what would be right, in one plain sentence.
"""

from collections.abc import Iterable, Sequence

from attrs import frozen


class PropagateError(Exception):
    """Parent of all errors that a face shows as one sentence with exit status 2."""


class Refused(PropagateError, ValueError):
    """Input that cannot be taken as it stands; nothing was written."""


class NotFound(PropagateError, LookupError):
    """A name that the book or the library does not know.

    `near` holds the closest known names, best first, so that a face can offer them.
    """

    def __init__(self, message: str, near: Sequence[str] = ()) -> None:
        self.near = tuple(near)
        offer = f" Did you mean {_either(self.near)}?" if near else ""
        super().__init__(message + offer)


class BrokenBook(PropagateError, RuntimeError):
    """The book's file cannot be trusted: damaged, read-only, or from a newer program."""


class MissingTool(PropagateError, RuntimeError):
    """Something outside the program is needed; the message says what to install."""


@frozen
class Problem:
    """One thing wrong in a file or a book, collected so that all are shown together."""

    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}"


def refuse_all(problems: Iterable[Problem], lead: str) -> None:
    """Raise one Refused that lists every problem, or do nothing when there are none."""
    lines = [str(problem) for problem in problems]
    if lines:
        raise Refused("\n  ".join([lead, *lines]))


def _either(names: Sequence[str]) -> str:
    quoted = [f'"{name}"' for name in names]
    return quoted[0] if len(quoted) == 1 else ", ".join(quoted[:-1]) + " or " + quoted[-1]
