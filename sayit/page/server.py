"""The server behind the page: Starlette on uvicorn, on the loopback address only."""

from __future__ import annotations

import asyncio
import json
import secrets
import socket
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import Any

import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import FileResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route, WebSocketRoute
from starlette.staticfiles import StaticFiles
from starlette.websockets import WebSocket, WebSocketDisconnect

from sayit.errors import SayitError
from sayit.hearing.loading import Loading
from sayit.page import own_voice
from sayit.page.desk import Desk
from sayit.page.guard import HOST, Guard

__all__ = ["build", "serve"]

_STATIC = Path(__file__).parent / "static"
_LONGEST_MESSAGE = 1 << 18
_SLEPT = 10.0


class _Line:
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
                # Only the newest state is worth drawing.
                if not ("state" in message and "state" in after):
                    await self.socket.send_text(json.dumps(message))


class _Pages:
    """The open pages, and what goes to which of them."""

    def __init__(self, **desk: Any) -> None:
        self.screen: _Line | None = None
        self.others: list[_Line] = []
        self.desks: list[_Line] = []
        self.desk = Desk(
            tell_screen=self._tell_screen,
            tell_desks=self._tell_desks,
            changed=self.draw,
            **desk,
        )

    def _tell_screen(self, message: dict[str, Any]) -> None:
        if self.screen:
            self.screen.tell(message)

    def _tell_desks(self, message: dict[str, Any]) -> None:
        for line in list(self.desks):
            line.tell(message)

    def draw(self) -> None:
        if hasattr(self, "desk"):
            self._tell_screen({"state": self.desk.board.for_child()})
            self._tell_desks({"state": self.desk.board.for_desk()})

    def take_screen(self, line: _Line) -> None:
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

    def leave(self, line: _Line) -> None:
        if line in self.desks:
            self.desks.remove(line)
        if line in self.others:
            self.others.remove(line)
        if line is self.screen:
            self.screen = None
            self.desk.screen_is("closed")
        if not self.others:
            self.desk.board.forget("second-screen")


def build(*, port: int, token: str, **desk: Any) -> Guard:
    """The page as an ASGI application that answers at ``port`` to whoever has ``token``; the rest is for ``Desk``."""
    pages = _Pages(**desk)

    async def child_page(request: Request) -> Response:
        return FileResponse(_STATIC / "child.html")

    async def desk_page(request: Request) -> Response:
        return FileResponse(_STATIC / "desk.html")

    async def sound(request: Request) -> Response:
        found = pages.desk.screen.sound(str(request.path_params["number"]))
        return _wav(found)

    async def test_sound(request: Request) -> Response:
        return _wav(pages.desk.recorded())

    async def own_sound(request: Request) -> Response:
        try:
            found = own_voice.slot(request.path_params["kind"], request.path_params["name"])
        except SayitError as error:
            return PlainTextResponse(str(error), 404)
        return _wav(found.path.read_bytes() if found.path.is_file() else None)

    async def report(request: Request) -> Response:
        try:
            page = await asyncio.to_thread(pages.desk.report)
        except SayitError as error:
            return PlainTextResponse(str(error), 404)
        # The report brings its style with it; no script at all may run in it.
        policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'; sandbox"
        return Response(page, media_type="text/html; charset=utf-8", headers={"Content-Security-Policy": policy})

    async def screen_line(websocket: WebSocket) -> None:
        async with _opened(websocket) as line:
            if pages.screen is None:
                pages.take_screen(line)
            else:
                pages.others.append(line)
                line.tell({"second": True})
                pages.desk.board.notice(
                    "second-screen",
                    "The child's screen was opened a second time. The first one goes on; the second one waits.",
                )
            try:
                await _follow(websocket, lambda message: _from_screen(pages, line, message))
            finally:
                pages.leave(line)

    async def desk_line(websocket: WebSocket) -> None:
        async with _opened(websocket) as line:
            pages.desks.append(line)
            line.tell({"state": pages.desk.board.for_desk()})
            try:
                await _follow(websocket, lambda message: _from_desk(pages, line, message))
            finally:
                pages.leave(line)

    @asynccontextmanager
    async def awake(app: Starlette) -> AsyncIterator[None]:
        watching = asyncio.create_task(_watch_for_sleep(pages.desk.woke))
        try:
            yield
        finally:
            watching.cancel()
            await asyncio.to_thread(pages.desk.close)

    app = Starlette(
        routes=[
            Route("/", child_page),
            Route("/desk", desk_page),
            Route("/sound/{number}.wav", sound),
            Route("/test.wav", test_sound),
            Route("/own/{kind}/{name}.wav", own_sound),
            Route("/report", report),
            WebSocketRoute("/screen-line", screen_line),
            WebSocketRoute("/desk-line", desk_line),
            Mount("/static", StaticFiles(directory=_STATIC)),
        ],
        lifespan=awake,
    )
    return Guard(app, port=port, token=token)


def serve(
    *,
    listener: Loading,
    port: int = 0,
    opened: Callable[[str], None] = lambda address: None,
    **desk: Any,
) -> None:
    """Serve the page until Ctrl-C; ``opened`` is told the address once it answers. The rest is for ``Desk``.

    ``port`` 0 takes a free one. SayitError, one line, for a port that is taken.
    """
    bound = _bind(port)
    port = bound.getsockname()[1]
    token = secrets.token_urlsafe(24)
    listener.start()
    app = build(port=port, token=token, listener=listener, **desk)
    server = _Server(
        uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            ws_max_size=_LONGEST_MESSAGE,
            timeout_graceful_shutdown=3,
        ),
        lambda: opened(f"http://{HOST}:{port}/desk?token={token}"),
    )
    server.run(sockets=[bound])


class _Server(uvicorn.Server):
    def __init__(self, config: uvicorn.Config, started: Callable[[], None]) -> None:
        super().__init__(config)
        self._tell = started

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets=sockets)
        if self.started:
            self._tell()


def _bind(port: int) -> socket.socket:
    bound = socket.socket()
    try:
        bound.bind((HOST, port))
    except OSError as error:
        bound.close()
        raise SayitError(
            f"Port {port} cannot be used ({error.strerror}): leave --port out to take a free one."
        ) from error
    return bound


@asynccontextmanager
async def _opened(websocket: WebSocket) -> AsyncIterator[_Line]:
    await websocket.accept()
    line = _Line(websocket, asyncio.get_running_loop())
    sending = asyncio.create_task(line.send())
    try:
        yield line
    except WebSocketDisconnect:
        pass
    finally:
        sending.cancel()


async def _follow(websocket: WebSocket, take: Callable[[dict[str, Any] | bytes], None]) -> None:
    while True:
        received = await websocket.receive()
        if received["type"] == "websocket.disconnect":
            return
        if received.get("bytes") is not None:
            take(received["bytes"])
            continue
        try:
            message = json.loads(received.get("text") or "")
            # Half a sign of UTF-16 can be neither stored nor said.
            json.dumps(message, ensure_ascii=False).encode()
        except (ValueError, RecursionError):
            continue
        if isinstance(message, dict):
            take(message)


def _from_screen(pages: _Pages, line: _Line, message: dict[str, Any] | bytes) -> None:
    desk = pages.desk
    if line is not pages.screen:
        if isinstance(message, dict) and message.get("kind") == "take":
            pages.take_screen(line)
        return
    if isinstance(message, bytes):
        desk.screen.feed(message)
        return
    match message:
        case {"kind": "microphone", "state": "ready", "rate": int(rate)} if 8_000 <= rate <= 192_000:
            desk.screen_is("ready", rate)
        case {"kind": "microphone", "state": ("lost" | "denied") as state}:
            desk.screen_is(state)
        case {"kind": "said", "number": str(number)}:
            desk.screen.said(number)
        case {"kind": "touched"}:
            desk.touched()
        case {"kind": "placed", "digits": str(digits)}:
            desk.placed(digits)
        case {"kind": "choice"} if desk.board.settings.keys:
            _from_desk(pages, line, message)


def _from_desk(pages: _Pages, line: _Line, message: dict[str, Any] | bytes) -> None:
    if isinstance(message, bytes):
        return
    try:
        told = pages.desk.wants(str(message.get("kind")), message)
    except SayitError as error:
        line.tell({"refused": str(error), "state": pages.desk.board.for_desk()})
    else:
        line.tell({"refused": "", "told": told or ""})


def _wav(found: bytes | None) -> Response:
    if found is None:
        return PlainTextResponse("This sound is not kept any more.", 404)
    return Response(found, media_type="audio/wav")


async def _watch_for_sleep(woke: Callable[[], None]) -> None:
    import time

    while True:
        before = time.time()
        await asyncio.sleep(1.0)
        # A machine that sleeps stops this too; the time of day goes on.
        if time.time() - before > _SLEPT:
            woke()
