"""The open pages, and what is sent to which of them."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import suppress
from typing import Any

from starlette.websockets import WebSocket

from sayit.errors import SayitError
from sayit.page.desk import Desk
from sayit.page.errands import Errands
from sayit.sound.audio import RATE

__all__ = ["Line", "Pages"]


class Line:
    """One open page: messages are put into ``out`` from any thread and sent in order."""

    def __init__(self, socket: WebSocket, loop: asyncio.AbstractEventLoop) -> None:
        self.socket = socket
        self._loop = loop
        self._out: asyncio.Queue[dict[str, Any]] = asyncio.Queue()

    def tell(self, message: dict[str, Any]) -> None:
        # The server may have ended while the sitting said a last word.
        with suppress(RuntimeError):
            self._loop.call_soon_threadsafe(self._out.put_nowait, message)

    async def send(self) -> None:
        while True:
            messages = [await self._out.get()]
            while not self._out.empty():
                messages.append(self._out.get_nowait())
            for message, after in zip(messages, [*messages[1:], {}], strict=True):
                # Only the newest state is worth drawing; whatever else is told is told.
                if not (message.keys() == {"state"} and "state" in after):
                    await self.socket.send_text(json.dumps(message))


class Pages:
    """The open pages, and what goes to which of them."""

    def __init__(self, **desk: Any) -> None:
        self.screen: Line | None = None
        self.others: list[Line] = []
        self.desks: list[Line] = []
        self.hearing: Line | None = None
        self.desk = Desk(
            tell_screen=self._tell_screen,
            tell_desks=self._tell_desks,
            changed=self.draw,
            **desk,
        )
        self.errands = Errands(self._waits)

    def _tell_screen(self, message: dict[str, Any]) -> None:
        if self.screen:
            self.screen.tell(message)

    def _tell_desks(self, message: dict[str, Any]) -> None:
        for line in list(self.desks):
            line.tell(message)

    async def done(self, do: Callable[[], str]) -> str:
        """Have it done after what the desks asked for before, and wait for what comes of it."""
        told: Future[str] = Future()

        def carry_out() -> None:
            try:
                told.set_result(do())
            except BaseException as error:  # noqa: BLE001  # whoever waits is told
                told.set_exception(error)

        if not self.errands.put(carry_out):
            raise SayitError("Too much was asked for at once: wait a moment.")
        return await asyncio.wrap_future(told)

    def _waits(self, slow: bool) -> None:
        if slow:
            self.desk.board.notice("record-slow", "Another program uses the record, or the disk is slow: sayit waits.")
        else:
            self.desk.board.forget("record-slow")

    def draw(self) -> None:
        if hasattr(self, "desk"):
            self._tell_screen({"state": self.desk.board.for_child()})
            self._tell_desks({"state": self.desk.board.for_desk()})

    def take_screen(self, line: Line) -> None:
        """This page is the child's screen from now on; one that was it before waits."""
        if line in self.others:
            self.others.remove(line)
        if self.screen and self.screen is not line:
            self.others.append(self.screen)
            self.screen.tell({"second": True})
        self.screen = line
        self.desk.screen_is("open")
        line.tell({"state": self.desk.board.for_child()})
        self.desk.board.forget("second-screen")

    def hear_at(self, line: Line, state: str, rate: int = RATE) -> None:
        """This desk is where a trial is heard and spoken from now on."""
        self.hearing = line
        self.desk.own.is_now(state, rate)

    def leave(self, line: Line) -> None:
        if line is self.hearing:
            self.hearing = None
            self.desk.own.is_now("closed")
        if line in self.desks:
            self.desks.remove(line)
        if line in self.others:
            self.others.remove(line)
        if line is self.screen:
            self.screen = None
            self.desk.screen_is("closed")
        if not self.others:
            self.desk.board.forget("second-screen")
