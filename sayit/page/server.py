"""The server behind the page: Starlette on uvicorn, on the loopback address only."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import AsyncIterator, Callable
from contextlib import ExitStack, asynccontextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import quote

import uvicorn
from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route, WebSocketRoute
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp
from starlette.websockets import WebSocket, WebSocketDisconnect

from sayit import paths
from sayit.errors import SayitError
from sayit.hearing.loading import Loading
from sayit.page import own_voice
from sayit.page.backstage import in_background
from sayit.page.connections import Bounded
from sayit.page.guard import HANDED, HOST, Guard
from sayit.page.keys import Keys, hand_over
from sayit.page.messages import follow, from_desk, from_screen
from sayit.page.one import answering
from sayit.page.pages import Line, Pages
from sayit.page.papers import Handed
from sayit.page.restoring import taken_in
from sayit.practice.drawing import symbols

__all__ = ["build", "serve", "server_of"]

_STATIC = Path(__file__).parent / "static"
_LONGEST_MESSAGE = 1 << 18
_SLEPT = 10.0


def build(*, port: int, keys: Keys, **desk: Any) -> Guard:
    """The page as an ASGI application that answers at ``port`` to whoever had one of ``keys``; the rest is for ``Desk``."""
    pages = Pages(**desk)

    async def child_page(request: Request) -> Response:
        return FileResponse(_STATIC / "child.html")

    async def desk_page(request: Request) -> Response:
        return FileResponse(_STATIC / "desk.html")

    async def sound(request: Request) -> Response:
        return _wav(pages.desk.sound(str(request.path_params["number"])))

    async def things(request: Request) -> Response:
        return Response(symbols(), media_type="image/svg+xml")

    async def test_sound(request: Request) -> Response:
        return _wav(pages.desk.recorded())

    async def own_sound(request: Request) -> Response:
        try:
            return _wav(
                await asyncio.to_thread(
                    own_voice.read,
                    request.path_params["kind"],
                    request.path_params["name"],
                    pages.desk.board.state.children,
                )
            )
        except SayitError as error:
            return PlainTextResponse(str(error), 404)

    async def paper(request: Request) -> Response:
        what, ending = request.path_params["what"], request.path_params["ending"]
        return await _handed(lambda: pages.desk.papers.get(what, ending))

    async def answer(request: Request) -> Response:
        return await _handed(lambda: pages.desk.papers.sound(request.path_params["number"]))

    async def restored(request: Request) -> Response:
        with TemporaryDirectory(prefix="sayit-restore-") as place:
            try:
                await taken_in(request.stream(), source := Path(place) / "sent.sqlite3")
                return JSONResponse({"told": await pages.done(lambda: pages.desk.restoring.restore(source))})
            except SayitError as error:
                return JSONResponse({"refused": str(error)})
            except ClientDisconnect:
                # Nothing has changed, and nobody reads this.
                return Response(status_code=400)

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
                await follow(websocket, lambda message: from_screen(pages, line, message))
            finally:
                pages.leave(line)

    async def desk_line(websocket: WebSocket) -> None:
        async with _opened(websocket) as line:
            pages.desks.append(line)
            line.tell({"state": pages.desk.board.for_desk()})
            try:
                await follow(websocket, lambda message: from_desk(pages, line, message))
            finally:
                pages.leave(line)

    @asynccontextmanager
    async def awake(app: Starlette) -> AsyncIterator[None]:
        watching = asyncio.create_task(_watch_for_sleep(pages.desk.seconds, pages.desk.woke))
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
            Route("/things.svg", things),
            Route("/test.wav", test_sound),
            Route("/own/{kind}/{name}.wav", own_sound),
            Route("/papers/{what}.{ending}", paper),
            Route("/answers/{number:int}.flac", answer),
            Route("/restore", restored, methods=["POST"]),
            WebSocketRoute("/screen-line", screen_line),
            WebSocketRoute("/desk-line", desk_line),
            Mount("/static", StaticFiles(directory=_STATIC)),
        ],
        lifespan=awake,
    )
    return Guard(app, port=port, keys=keys)


def serve(
    *,
    listener: Loading,
    port: int = 0,
    opened: Callable[[str], None] = lambda address: None,
    browse: Callable[[str], None] | None = None,
    **desk: Any,
) -> None:
    """Serve the page until Ctrl-C. The rest is for ``Desk``.

    ``opened`` is told an address that opens the desk in one browser, once it answers, and a new one when that was used.
    ``browse`` shows a browser the address of a file, which leads it to the desk. ``port`` 0 takes a free one. SayitError, one line, for a port that is taken.
    """
    bound = _bind(port)
    port = bound.getsockname()[1]
    keys = Keys()
    listener.start()
    app = build(port=port, keys=keys, listener=listener, **desk)
    folder = (desk.get("record") or paths.record()).parent
    with ExitStack() as stack:

        def offer() -> None:
            opened(f"http://{HOST}:{port}/desk?key={keys.make(offer)}")

        def started() -> None:
            offer()
            if browse:
                again()

        def again() -> None:
            if browse:
                _show(browse, f"http://{HOST}:{port}{HANDED}", keys, stack)
            else:
                offer()

        with answering(folder, again):
            server_of(app, started).run(sockets=[bound])


def _show(browse: Callable[[str], None], address: str, keys: Keys, stack: ExitStack) -> None:
    """Have a browser opened that is handed a key; the file goes once it was read, and with ``stack``."""
    try:
        file = hand_over(address, keys.make(stack.close))
    except OSError:
        # The address that a parent can open stands in the terminal all the same.
        return
    stack.callback(file.unlink, missing_ok=True)
    # Some browsers keep whoever starts them waiting.
    in_background("open browser", lambda: browse(file.as_uri()))


def server_of(app: ASGIApp, started: Callable[[], None]) -> uvicorn.Server:
    """What answers for ``app``, within bounds; it tells once it has ``started``."""
    return _Server(
        uvicorn.Config(
            app,
            http=Bounded,
            # What a stranger sends that is no HTTP is no matter for the parent.
            log_level="error",
            access_log=False,
            server_header=False,
            ws_max_size=_LONGEST_MESSAGE,
            timeout_graceful_shutdown=3,
        ),
        started,
    )


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
async def _opened(websocket: WebSocket) -> AsyncIterator[Line]:
    await websocket.accept()
    line = Line(websocket, asyncio.get_running_loop())
    sending = asyncio.create_task(line.send())
    try:
        yield line
    except WebSocketDisconnect:
        pass
    finally:
        sending.cancel()


async def _handed(make: Callable[[], Handed]) -> Response:
    try:
        found = await asyncio.to_thread(make)
    except SayitError as error:
        return PlainTextResponse(str(error), 404)
    # A paper brings its style with it; no script at all may run in it.
    policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'; sandbox"
    kept = "inline" if found.type.startswith(("text/html", "audio")) else "attachment"
    place = f"{kept}; filename*=UTF-8''{quote(found.name)}"
    headers = {"Content-Security-Policy": policy, "Content-Disposition": place}
    return Response(found.content, media_type=found.type, headers=headers)


def _wav(found: bytes | None) -> Response:
    if found is None:
        return PlainTextResponse("This sound is not kept any more.", 404)
    return Response(found, media_type="audio/wav")


async def _watch_for_sleep(seconds: Callable[[], float], woke: Callable[[], None]) -> None:
    while True:
        before = seconds()
        await asyncio.sleep(1.0)
        # A machine that sleeps stops this too; the count goes on.
        if seconds() - before > _SLEPT:
            woke()
