"""Who is let in: only the browser with a key, only from this page, only by the loopback address."""

import asyncio
import contextlib
import json
import threading

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from sayit.errors import SayitError
from sayit.hearing.loading import Loading
from sayit.page.guard import HOST
from sayit.page.keys import Keys
from sayit.page.pages import Line
from sayit.page.server import _bind, build

PORT = 8123
ORIGIN = f"http://{HOST}:{PORT}"
KEYS = Keys()


def _no_listener():
    raise SayitError("No recogniser here.")


@pytest.fixture
def client(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path))
    app = build(port=PORT, keys=KEYS, listener=Loading(_no_listener), record=tmp_path / "record.sqlite3")
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        yield client


@pytest.fixture
def known(client):
    client.get(f"/desk?key={KEYS.make()}")
    return client


def _line(client, **headers):
    """A websocket with the cookie that the browser would send."""
    cookie = "; ".join(f"{name}={value}" for name, value in client.cookies.items())
    return client.websocket_connect("/desk-line", headers={"host": f"{HOST}:{PORT}", "cookie": cookie, **headers})


def test_the_address_is_changed_for_a_cookie_that_no_script_reads(client):
    key = KEYS.make()
    answer = client.get(f"/desk?key={key}")
    assert (answer.status_code, answer.headers["location"]) == (303, "/desk")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie and key not in answer.headers["set-cookie"]
    assert client.get("/desk").status_code == 200


@pytest.mark.parametrize("path", ["/", "/desk", "/?key=", "/desk?key=wrong", "/desk?key=a&key=b", "/static/child.js"])
def test_without_a_key_nothing_is_told(client, path):
    answer = client.get(path)
    assert answer.status_code == 403
    assert "terminal" in answer.text and len(answer.text.splitlines()) == 1


def test_a_key_lets_in_at_the_pages_only(client):
    key = KEYS.make()
    assert client.get(f"/static/child.js?key={key}").status_code == 403
    assert client.get(f"/desk?key={key}").status_code == 303


def test_a_key_lets_one_browser_in_once(client):
    used = []
    key = KEYS.make(lambda: used.append(True))
    assert client.get(f"/desk?key={key}").status_code == 303
    # The browser that was let in may ask again; another one may not.
    assert client.get(f"/desk?key={key}").headers["location"] == "/desk"
    client.cookies.clear()
    answer = client.get(f"/desk?key={key}")
    assert answer.status_code == 403 and "newest address" in answer.text and "set-cookie" not in answer.headers
    assert used == [True]


def test_a_key_is_taken_from_a_file_that_has_no_origin(client):
    sent = {"origin": "null", "sec-fetch-site": "cross-site"}
    key = KEYS.make()
    for body, more in (
        ({"key": "wrong"}, {}),
        ({"key": key}, {"host": "evil.example"}),
        ({}, {}),
        ({"key": "k" * 5_000}, {}),
    ):
        assert client.post("/key", data=body, headers=sent | more).status_code == 403
    answer = client.post("/key", data={"key": key}, headers=sent)
    assert answer.status_code == 200 and 'url=/desk"' in answer.text and key not in answer.text
    assert client.get("/desk").status_code == 200
    client.cookies.clear()
    assert client.post("/key", data={"key": key}, headers=sent).status_code == 403


def test_the_cookie_of_another_desk_is_refused(known):
    (name, value) = next(iter(known.cookies.items()))
    assert name == f"sayit-{PORT}"
    known.cookies.clear()
    for cookie in (f"sayit-{PORT + 1}={value}", f"sayit-{PORT}={value[::-1]}", f"sayit={value}"):
        assert known.get("/desk", headers={"cookie": cookie}).status_code == 403
    assert known.get("/desk", headers={"cookie": f"{name}={value}"}).status_code == 200


@pytest.mark.parametrize(
    "host", ["evil.example", f"evil.example:{PORT}", f"localhost:{PORT}", f"{HOST}:{PORT + 1}", HOST, ""]
)
def test_a_name_bent_to_this_machine_is_refused(known, host):
    assert known.get("/desk", headers={"host": host}).status_code == 403
    assert known.get(f"/desk?key={KEYS.make()}", headers={"host": host}).status_code == 403


@pytest.mark.parametrize(
    "origin", ["https://evil.example", "null", f"http://{HOST}", f"http://{HOST}:{PORT + 1}", f"https://{HOST}:{PORT}"]
)
def test_another_site_is_refused(known, origin):
    assert known.get("/desk", headers={"origin": origin}).status_code == 403
    with pytest.raises(WebSocketDisconnect), _line(known, origin=origin):
        pass


def test_a_websocket_must_say_where_it_comes_from(known):
    with pytest.raises(WebSocketDisconnect), _line(known):
        pass


def test_a_websocket_needs_the_cookie(client):
    with pytest.raises(WebSocketDisconnect), _line(client, origin=ORIGIN):
        pass


def test_the_page_itself_gets_its_state(known):
    with _line(known, origin=ORIGIN) as line:
        assert line.receive_json()["state"]["phase"] == "idle"


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_link_or_picture_on_another_site_gets_nothing(known, site):
    assert known.get("/desk", headers={"sec-fetch-site": site}).status_code == 403


@pytest.mark.parametrize("path", ["/", "/desk", "/static/look.css", "/nowhere"])
def test_every_answer_forbids_inline_script_and_other_places(known, path):
    policy = known.get(path).headers["content-security-policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'" and rules["script-src"] == "'self'" and rules["style-src"] == "'self'"
    assert "unsafe" not in policy and rules["frame-ancestors"] == "'none'"
    assert rules["connect-src"].split() == ["'self'", f"ws://{HOST}:{PORT}"]


def test_pages_hold_no_inline_script_or_style_and_no_other_address(known):
    import re

    for path in ("/", "/desk"):
        page = known.get(path).text
        assert not re.search(r"<script(?![^>]*\bsrc=)|\bon\w+=|\bstyle=|<style|javascript:", page)
        assert not re.search(r"(?:src|href)=\"(?!/|#)", page)


@pytest.mark.parametrize("path", ["/static/../server.py", "/static/%2e%2e/server.py", "/static/..%2fserver.py"])
def test_no_file_outside_the_folder_is_told(known, path):
    assert known.get(path).status_code == 404


def test_the_server_is_bound_to_the_loopback_address_only():
    bound = _bind(0)
    try:
        assert bound.getsockname()[0] == "127.0.0.1"
        with pytest.raises(SayitError, match="Port"):
            _bind(bound.getsockname()[1])
    finally:
        bound.close()


def _refusal(line):
    """The next refusal on the line; states may come before it at any time."""
    return next(told["refused"] for told in iter(line.receive_json, None) if "refused" in told)


@pytest.mark.parametrize(
    "text",
    [
        "[" * 100_000,
        '{"a":' * 40_000,
        '{"kind": "\\ud800"}',
        '{"\\udfff": 1}',
        '{"kind": [{}]}',
        '{"kind": {"kind": 1}}',
        '{"kind": "add-child", "name": "\\ud800"}',
        '{"kind": "arrange", "child": "\\udc00", "values": {}}',
    ],
    ids=[
        "deep list",
        "deep object",
        "lone surrogate",
        "odd key",
        "list as kind",
        "object as kind",
        "half a sign as name",
        "half a sign as child",
    ],
)
def test_an_odd_message_does_not_end_the_line(known, text):
    with _line(known, origin=ORIGIN) as line:
        line.receive_json()
        line.send_text(text)
        line.send_text('{"kind": "there is no such wish"}')
        assert _refusal(line)


def test_a_refusal_is_told_whatever_is_drawn_right_after():
    """Of several states only the newest is sent; what else a message says must not go with an older one."""
    sent = []

    class Socket:
        async def send_text(self, text):
            sent.append(json.loads(text))

    async def tell():
        line = Line(Socket(), asyncio.get_running_loop())
        for message in ({"state": 1}, {"refused": "No.", "state": 2}, {"state": 3}):
            line.tell(message)
        await asyncio.sleep(0)
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(0.01):
                await line.send()

    # Where a browser was driven before, this thread has a loop already.
    thread = threading.Thread(target=lambda: asyncio.run(tell()))
    thread.start()
    thread.join()
    assert sent == [{"refused": "No.", "state": 2}, {"state": 3}]


def test_a_setting_that_there_is_not_is_refused(known):
    for name in ("self", "wanted", "", "minutes "):
        with _line(known, origin=ORIGIN) as line:
            line.receive_json()
            line.send_json({"kind": "set", "values": {name: 1}})
            assert "no setting" in _refusal(line)


@pytest.mark.parametrize("number", ["9" * 5_000, "1", "-1", "x"])
def test_a_sound_that_is_not_kept_is_not_found(known, number):
    assert known.get(f"/sound/{number}.wav").status_code == 404
