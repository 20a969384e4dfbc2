"""One parent for every error a grower can meet, and the record of a collected problem.

A message says what is wrong, what was given, what would be right, in one plain sentence.
"""

from collections.abc import Iterable, Sequence

from attrs import frozen

from propagate.worded import in_a_row, worded


class PropagateError(Exception):
    """Parent of all errors that a face shows as one sentence with exit status 2."""

    @property
    def said(self) -> str:
        """The sentence; where it is `Worded`, with what a face needs to say it otherwise."""
        return self.args[0] if self.args else ""


class Refused(PropagateError, ValueError):
    """Input that cannot be taken as it stands; nothing was written."""


class NotFound(PropagateError, LookupError):
    """A name that the book or the library does not know.

    `near` holds the closest known names, best first, so that a face can offer them.
    """

    def __init__(self, message: str, near: Sequence[str] = ()) -> None:
        self.near = tuple(near)
        super().__init__(
            worded("{said} Did you mean {names}?", said=message, names=_either(self.near))
            if near
            else message
        )


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

    @property
    def said(self) -> str:
        """The same, to be said in another language as far as it can be."""
        return worded("{where}: {what}", where=self.where, what=self.what)


def refuse_all(problems: Iterable[Problem], lead: str) -> None:
    """Raise one Refused that lists every problem, or do nothing when there are none."""
    lines = [problem.said for problem in problems]
    if lines:
        raise Refused(in_a_row([worded(lead), *lines], "\n  "))


def _either(names: Sequence[str]) -> str:
    quoted = [f'"{name}"' for name in names]
    if len(quoted) == 1:
        return quoted[0]
    return worded("{some} or {last}", some=", ".join(quoted[:-1]), last=quoted[-1])
