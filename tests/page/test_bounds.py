"""The desk stays reachable: half-open requests are bounded, and no wish of the parent stops the server."""

import asyncio
import json
import socket
import threading
from contextlib import ExitStack, contextmanager, suppress

import pytest
from starlette.responses import PlainTextResponse

from sayit.page import connections
from sayit.page.server import _bind, server_of
from tests.holding import held
from tests.page.test_guard import ORIGIN, _line, client, known  # noqa: F401  # fixtures

HALVES = (
    b"",
    b"GET / HT",
    b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n",
    b"POST / HTTP/1.1\r\nContent-Length: 90000\r\n\r\nx",
)


@contextmanager
def served(app):
    """The address at which ``app`` is answered by the desk's own kind of server."""
    bound, started = _bind(0), threading.Event()
    server = server_of(app, started.set)
    thread = threading.Thread(target=lambda: asyncio.run(server.serve([bound])))
    thread.start()
    started.wait()
    try:
        yield bound.getsockname()
    finally:
        server.should_exit = True
        thread.join()
        bound.close()


def ask(address):
    """One whole request; the first line of the answer."""
    with socket.create_connection(address, timeout=60) as line:
        line.sendall(b"GET / HTTP/1.1\r\nHost: here\r\nConnection: close\r\n\r\n")
        return b"".join(iter(lambda: line.recv(4096), b"")).split(b"\r\n")[0]


def closed(line):
    """Whether the other side ends the connection, with an answer before or without."""
    line.settimeout(60)
    try:
        while line.recv(4096):
            pass
    except ConnectionError:
        pass
    return True


async def hello(scope, receive, send):
    await PlainTextResponse("hello")(scope, receive, send)


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_half_open_requests_are_closed_and_keep_nobody_out(monkeypatch):
    monkeypatch.setattr(connections, "HEAD_SECONDS", 0.5)
    with served(hello) as address, ExitStack() as stack:
        lines = [stack.enter_context(socket.create_connection(address)) for _ in range(150)]
        for number, line in enumerate(lines):
            with suppress(ConnectionError):
                line.sendall(HALVES[number % len(HALVES)])
        assert ask(address) == b"HTTP/1.1 200 OK"
        assert all(closed(line) for line in lines)


def test_more_connections_than_allowed_close_the_oldest(monkeypatch):
    monkeypatch.setattr(connections, "HEAD_SECONDS", 600.0)
    with served(hello) as address, ExitStack() as stack:
        lines = [stack.enter_context(socket.create_connection(address)) for _ in range(connections.MOST + 50)]
        assert ask(address) == b"HTTP/1.1 200 OK"
        assert all(closed(line) for line in lines[:50])


def test_a_record_that_another_program_holds_does_not_stop_the_desk(known, tmp_path):  # noqa: F811
    with _line(known, origin=ORIGIN) as line:
        answers = iter(line.receive_json, None)
        with held(tmp_path / "record.sqlite3"):
            line.send_text(json.dumps({"kind": "add-child", "name": "Wren"}))
            # Pages are answered and notices go away meanwhile; only the record is waited for.
            assert known.get("/desk").status_code == 200
            line.send_text(json.dumps({"kind": "forget", "notice": "none"}))
            assert next(one for one in answers if "refused" in one)["refused"] == ""
            assert next(one for one in answers if _slow(one))
        assert next(one for one in answers if "refused" in one)["refused"] == ""
        assert next(one for one in answers if "Wren" in one.get("state", {}).get("children", ()))


def _slow(message):
    return any(notice["kind"] == "record-slow" for notice in message.get("state", {}).get("notices", ()))
