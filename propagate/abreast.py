"""Independent pieces of work done by several processes at a time, where that is safe.

On Linux a process without threads can be forked: each copy knows all that was read before, does
its share and sends the answers back. Elsewhere, and where a copy fails, the pieces are done here
one after the other. The answers are the same either way.
"""

import gc
import os
import sys
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from itertools import chain
from typing import TYPE_CHECKING, Any, Final, Generic, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

Piece = TypeVar("Piece")
Answer = TypeVar("Answer")

MOST_HANDS: Final = 4
"""More processes would wait for each other's memory more than they work."""


def abreast(
    work: Callable[[Piece], Answer], pieces: Sequence[Piece], weights: Sequence[float]
) -> list[Answer]:
    """What `work` answers for each piece, in their order; `weights` say how long each may take.

    Work must change nothing that others ask for later, and its answers must bear pickling.
    Whatever it raises for a piece is raised here.
    """

    def done(share: Sequence[int]) -> list[Answer]:
        return [work(pieces[at]) for at in share]

    mine, *others = shared_out(weights, hands())
    away = [_Away(partial(done, share)) for share in others]
    try:
        answers = [done(mine), *(one.answers() for one in away)]
    finally:
        for one in away:
            one.end()
    order = [at for share in (mine, *others) for at in share]
    found = dict(zip(order, chain.from_iterable(answers), strict=True))
    return [found[at] for at in range(len(pieces))]


def hands() -> int:
    """How many processes can work at a time: 1 where forking is not safe."""
    if sys.platform != "linux" or threading.active_count() > 1:
        return 1
    return min(len(os.sched_getaffinity(0)), MOST_HANDS)


def shared_out(weights: Sequence[float], shares: int) -> list[list[int]]:
    """Positions of the weights in so many shares, none empty, about as heavy as each other.

    The heaviest first, each to the share that is lightest by then.
    """
    found: list[list[int]] = [[] for _ in range(max(min(shares, len(weights)), 1))]
    heavy = [0.0] * len(found)
    for at in sorted(range(len(weights)), key=lambda at: -weights[at]):
        lightest = heavy.index(min(heavy))
        found[lightest].append(at)
        heavy[lightest] += weights[at]
    return found


class _Away(Generic[Answer]):
    """A copy of this process at its share of the work."""

    def __init__(self, work: Callable[[], list[Answer]]) -> None:
        from multiprocessing import get_context  # a small book never needs it

        self._work = work
        context = get_context("fork")
        self._answer, answering = context.Pipe(duplex=False)
        self._process = context.Process(target=self._do, args=(answering,))
        self._process.start()
        answering.close()

    def _do(self, answering: "Connection[list[Answer], Any]") -> None:
        gc.freeze()  # what was there before is not looked through, so its memory stays shared
        with suppress(BaseException):  # without an answer the work is done again where it shows
            answering.send(self._work())

    def answers(self) -> list[Answer]:
        """The answers for its share; worked out here where the copy came to nothing."""
        try:
            answers: list[Answer] = self._answer.recv()
        except (EOFError, OSError):
            answers = self._work()
        return answers

    def end(self) -> None:
        """Let the copy go, finished or not."""
        self._process.kill()
        self._process.join()
        self._answer.close()
