"""The open nursery behind the pages: one desk, one thread, answers kept until the book changes.

All work on the book is done by one thread, one question after the other: the database stays
in the hands that opened it, and nobody meets a half-made answer. What is slow and needs no book,
such as drawing a PDF, is done by a second one.
"""

import asyncio
import datetime as dt
import platform
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TypeVar

from propagate.actions.desk import Desk
from propagate.actions.warming import learn_more
from propagate.paths import NURSERY_FILE

Answer = TypeVar("Answer")
Clock = Callable[[], dt.datetime]


class Room:
    """One nursery for as long as its pages are served.

    `today` fixes the day of all answers; None follows the clock. `clock` gives the moment.
    """

    def __init__(self, folder: Path, today: dt.date | None, clock: Clock) -> None:
        self.folder, self._today, self._clock = folder, today, clock
        self._thread = ThreadPoolExecutor(1, thread_name_prefix="desk")
        self._drawing = ThreadPoolExecutor(1, thread_name_prefix="paper")
        self._desk: Desk | None = None
        self._settings_seen: tuple[tuple[str, float], ...] = ()
        self._latest = -1
        self._warms, self._closing = False, False
        self.warming = False
        """Whether a book that was just opened is still being learned."""

    def warm_up(self) -> None:
        """Learn the book ahead of the first question, now and whenever it is opened anew.

        It is done a piece at a time on the thread of the book: whoever asks meanwhile is
        answered after the piece at hand.
        """
        self._warms = True
        self._begin_warming()

    def _begin_warming(self) -> None:
        if self._warms and not self.warming:
            self.warming = True
            self._thread.submit(self._warm)

    def _warm(self) -> None:
        try:
            more = not self._closing and learn_more(self._at_desk())
        except Exception:
            more = False  # whoever asks next meets the same trouble, and is told of it
        if more:
            self._thread.submit(self._warm)
        self.warming = more

    async def ask(self, question: Callable[[Desk], Answer]) -> Answer:
        """What a question to the desk answers."""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._thread, lambda: question(self._at_desk()))

    async def write(self, by: str, deed: Callable[[Desk], Answer]) -> Answer:
        """What a deed at the desk answers; what it writes is written by this person."""

        def written(desk: Desk) -> Answer:
            with desk.in_the_hand_of(by):
                return deed(desk)

        return await self.ask(written)

    async def latest(self) -> int:
        """The number of the latest entry of the book, read without folding it."""
        return await self.ask(lambda desk: desk.store.latest())

    async def draw(self, deed: Callable[[], Answer]) -> Answer:
        """Something slow that needs no book, such as a PDF; questions are answered meanwhile.

        One thing is drawn after the other: drawing is not made for several threads.
        """
        return await asyncio.get_running_loop().run_in_executor(self._drawing, deed)

    def close(self) -> None:
        """Let go of the book, after the question that is being answered."""
        self._closing = True
        self._thread.submit(self._leave).result()
        self._thread.shutdown()
        self._drawing.shutdown()

    def _at_desk(self) -> Desk:
        """The desk as of now: what the book or the settings changed is read anew."""
        now = self._clock()
        today = self._today or now.astimezone().date()
        seen = self._files()
        if self._desk is None or self._desk.today != today or seen != self._settings_seen:
            self._leave()
            self._desk, self._settings_seen = Desk(self.folder, today, now), seen
            self._desk.machine = platform.node()
            self._begin_warming()
        desk = self._desk
        desk.now = now
        latest = desk.store.latest()
        if latest != self._latest:
            desk.forget()
            self._latest = latest
        return desk

    def _leave(self) -> None:
        if self._desk is not None:
            self._desk.close()
            self._desk = None

    def _files(self) -> tuple[tuple[str, float], ...]:
        """The settings and the nursery's own records and formats, with their times."""
        own = [self.folder / NURSERY_FILE]
        for name in ("methods", "labels"):
            own += sorted((self.folder / name).glob("*"))
        return tuple((str(path), path.stat().st_mtime) for path in own if path.exists())
