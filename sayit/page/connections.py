"""The server's connections, bounded: whoever opens many and asks nothing keeps nobody out."""

from __future__ import annotations

import asyncio

from uvicorn.protocols.http.h11_impl import H11Protocol

__all__ = ["HEAD_SECONDS", "MOST", "Bounded"]

HEAD_SECONDS = 5.0
"""How long the head of a request may take."""

MOST = 100
"""So many connections at most; one more closes the one that has asked nothing for the longest time."""


class Bounded(H11Protocol):
    """HTTP/1.1 as uvicorn speaks it, within these bounds."""

    late: asyncio.TimerHandle | None = None
    """Closes it, while no whole request has come."""

    @property
    def _waits(self) -> bool:
        """Whether no whole request has come in since the last answer."""
        return self in self.connections and (self.cycle is None or self.cycle.response_complete)

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self._watch()
        if len(self.connections) > MOST:
            idle = [one for one in self.connections if isinstance(one, Bounded) and one.late]
            oldest = min(idle, key=lambda one: one.late.when() if one.late else 0.0)
            # It is told of its end only later, and more may come before.
            self.connections.discard(oldest)
            oldest.transport.abort()

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        self._watch()

    def connection_lost(self, exc: Exception | None) -> None:
        super().connection_lost(exc)
        self._watch()

    def _watch(self) -> None:
        if not self._waits:
            if self.late:
                self.late.cancel()
            self.late = None
        elif self.late is None:
            self.late = self.loop.call_later(HEAD_SECONDS, self.transport.abort)
