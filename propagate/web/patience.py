"""HTTP connections that are not waited for without end.

The server itself lets go of a connection that stays idle between two requests, but not of one
that opens and sends its head a letter at a time, which is how one machine can use up all places.
"""

import asyncio
from typing import Any, Final

from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_SECONDS: Final = 10.0


class PatientProtocol(H11Protocol):
    """A connection that must send each whole head within HEAD_SECONDS of beginning it."""

    head_seconds = HEAD_SECONDS

    def connection_made(self, transport: Any) -> None:
        """Wait for the first head."""
        super().connection_made(transport)
        self._head_timer: asyncio.TimerHandle | None = None
        self._await_head()

    def data_received(self, data: bytes) -> None:
        """A piece came; the next head's time runs from its first piece."""
        if self._head_timer is None and self._is_between():
            self._await_head()
        super().data_received(data)
        if not self._is_between():
            self._head_came()

    def connection_lost(self, exc: Exception | None) -> None:
        """The other side has gone."""
        self._head_came()
        super().connection_lost(exc)

    def _is_between(self) -> bool:
        """Whether no request is being answered."""
        return self.cycle is None or self.cycle.response_complete

    def _await_head(self) -> None:
        self._head_timer = self.loop.call_later(self.head_seconds, self._too_slow)

    def _head_came(self) -> None:
        if self._head_timer is not None:
            self._head_timer.cancel()
            self._head_timer = None

    def _too_slow(self) -> None:
        self.transport.close()
