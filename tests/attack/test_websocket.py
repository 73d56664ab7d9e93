"""A desk that goes on: odd messages, half-open requests and a held record while a sitting is judged.

The desk is the program itself; the parent's answers go in by the same websocket as everything odd.
"""

import json
import math
import random
import socket
import threading
import time
import urllib.request
from contextlib import ExitStack, suppress
from datetime import UTC, datetime

import pytest
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect

from sayit.store import open_record
from tests.holding import held
from tests.page.conftest import Household, _short_prompts

pytestmark = pytest.mark.attack

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
SETTINGS = {
    "sound": "machine",
    "voice": "no such voice",
    "plan": False,
    "ways": ["say-back"],
    "low": 1,
    "high": 99,
    "minutes": 60,
}
"""Nothing is heard or said, so that the parent judges every answer."""
KINDS = (
    "add-child", "arrange", "set", "rate", "volume", "start", "find", "take-place", "leave-place", "hear", "test", "slots", "record",
    "unrecord", "forget", "microphone", "said", "touched", "placed", "take", "", "__class__", "\x00", "Start",
)  # fmt: skip
NAMES = (
    "values", "child", "name", "choice", "way", "notice", "slot_kind", "number", "state", "rate", "digits", "turns", "step", "forms",
    "limit", "pace", "skipped", "audio_days", "low", "high", "minutes", "keys", "captions", "quiet", "patience", "",
)  # fmt: skip
PLAIN = (
    None, True, False, 0, -1, 1, 7, 45, 2**31, 2**70, -(2**70), 0.1, 1e308, math.nan, math.inf, "", "Pip", "Wren", "Newt", "up", "ready",
    "denied", "0045", "\x00", "\x1b[2J", "<b>", "'; DROP TABLE answer; --", "\u202e", "\ud800", "٣", "x" * 5_000, "../../etc", [], {},
)  # fmt: skip
HALVES = (
    b"",
    b"GET /desk HT",
    b"GET / HTTP/1.1\r\nHost: x\r\n",
    b"POST /key HTTP/1.1\r\nContent-Length: 900\r\n\r\nkey=",
)
SECONDS = 40.0


class Line:
    """A websocket to the desk, opened again when it was closed; it notes all that it is told."""

    def __init__(self, home, path, cookie):
        self._address, self._home, self._cookie = f"ws://{home.origin.partition('://')[2]}{path}", home, cookie
        self.told, self.state, self.answers = threading.Condition(), {}, {}
        self.refused: list[str] = []
        self._held = ExitStack()
        self._pressed = 0.0
        self._open()

    def _open(self):
        self._socket = self._held.enter_context(
            connect(self._address, origin=self._home.origin, additional_headers={"Cookie": self._cookie})
        )
        threading.Thread(target=self._read, args=(self._socket,), daemon=True).start()

    def _read(self, line):
        with suppress(ConnectionClosed):
            for text in line:
                message = json.loads(text)
                with self.told:
                    if message.get("refused"):
                        self.refused.append(message["refused"])
                    if "state" in message:
                        self.state = message["state"]
                        for answer in self.state.get("answers", ()):
                            child = answer["child"] or self.state["seats"][0]
                            self.answers[answer["id"]] = (child, answer["asked"], answer["verdict"])
                    self.told.notify_all()

    def send(self, message):
        sent = message if isinstance(message, str | bytes) else json.dumps(message)
        try:
            self._socket.send(sent)
        except ConnectionClosed:
            self._open()
            self._socket.send(sent)

    def until(self, wanted):
        late = time.monotonic() + SECONDS
        with self.told:
            while not self.told.wait_for(wanted, 0.2):
                notices = [one["text"] for one in self.state.get("notices", ())]
                assert time.monotonic() < late, (self.state.get("phase"), notices, self.refused[-3:])

    def settle(self):
        """Wait until everything sent so far has been dealt with."""
        seen = len(self.refused)
        self.send({"kind": "no such wish"})
        self.until(lambda: any("unknown" in one for one in self.refused[seen:]))

    def noticed(self, words):
        return any(words in one["text"] for one in self.state["notices"])

    def judged(self, turn, more):
        """Whether there are ``more`` answers, pressing for them now and then."""
        if len(self.answers) < more and time.monotonic() - self._pressed > 0.2:
            self._pressed = time.monotonic()
            for choice in ("go", turn.choice(["right", "wrong"]), "go"):
                self.send({"kind": "choice", "choice": choice})
        return len(self.answers) >= more

    def close(self):
        self._held.close()


def drawn(turn, depth=0):
    if depth < 3 and turn.random() < 0.25:
        return [drawn(turn, depth + 1) for _ in range(turn.randrange(4))]
    if depth < 3 and turn.random() < 0.3:
        return {turn.choice(NAMES): drawn(turn, depth + 1) for _ in range(turn.randrange(4))}
    return turn.choice(PLAIN)


def odd(turn):
    """A message that no page sends."""
    match turn.randrange(10):
        case 0:
            return turn.choice(
                [
                    "",
                    "null",
                    "[]",
                    "3",
                    '"',
                    "{",
                    "{}",
                    "[" * 60_000,
                    '{"a":' * 30_000,
                    '{"kind": "\\ud800"}',
                    "{'a': 1}",
                ]
            )
        case 1:
            return turn.randbytes(turn.randrange(3_000))
        case 2:
            return {"kind": drawn(turn)}
        case _:
            more = {turn.choice(NAMES): drawn(turn) for _ in range(turn.randrange(5))}
            return more | {"kind": turn.choice(KINDS)}


def cookie_of(home):
    class Stay(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *_):
            return None

    try:
        urllib.request.build_opener(Stay).open(home.address())
    except urllib.error.HTTPError as answer:
        return answer.headers["set-cookie"].partition(";")[0]


@pytest.fixture
def desk(tmp_path):
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        for name in ("Pip", "Wren"):
            record.add_child(name, at=NOON)
    home = Household(
        tmp_path / "home", settings={**SETTINGS, "turns": ["Wren"]}, SAYIT_PROMPTS=str(_short_prompts(tmp_path / "p"))
    )
    yield home
    home.close()


def begin(line, turn):
    """A sitting of two children, whatever was set before."""
    line.send({"kind": "set", "values": {**SETTINGS, "child": "Pip", "turns": ["Wren"]}})
    line.send({"kind": "start"})
    line.settle()
    more = len(line.answers) + 1
    line.until(lambda: line.judged(turn, more))


def reached(home, cookie):
    asked = urllib.request.Request(f"{home.origin}/desk", headers={"Cookie": cookie})
    with urllib.request.urlopen(asked, timeout=SECONDS) as answer:
        return answer.status == 200


def compare(home, line, tally):
    line.send({"kind": "choice", "choice": "stop"})
    line.until(lambda: line.state["phase"] != "running")
    with open_record(home.home / "record.sqlite3") as record:
        names = {child.id: child.name for child in record.children()}
        kept = {answer.id: (names[answer.child], answer.asked, answer.verdict) for answer in record.answers()}
        whose = {session.id: session.child for session in record.sessions()}
        tally.crossed += sum(whose[answer.session] != answer.child for answer in record.answers())
    tally.lost += sum(number not in kept for number in line.answers)
    tally.crossed += sum(kept[number] != seen for number, seen in line.answers.items() if number in kept)
    tally.tracebacks += (home.home / "log").read_text().count("Traceback")
    print(f"\n{len(kept)} answers in the record, {len(line.answers)} of them seen at the desk")
    assert line.answers
    tally.nothing_lost()


def test_odd_messages_while_a_sitting_is_judged(desk, tally, long):
    turn = random.Random(20261126)
    cookie = cookie_of(desk)
    line, screen = Line(desk, "/desk-line", cookie), Line(desk, "/screen-line", cookie)
    line.until(lambda: line.state)
    begin(line, turn)
    for number in range(2_000 if long else 240):
        with tally.one():
            (screen if turn.random() < 0.2 else line).send(odd(turn))
            if number % 12 == 11:
                line.settle()
        if number % 40 == 39:
            if line.state["phase"] != "running":
                begin(line, turn)
            else:
                more = len(line.answers) + 1
                line.until(lambda more=more: line.judged(turn, more) or line.state["phase"] != "running")
            assert reached(desk, cookie)
    line.settle()
    compare(desk, line, tally)
    line.close()
    screen.close()


def test_a_held_record_and_half_open_requests_in_a_sitting(desk, tally, long):
    """150 half-open requests stay while another program takes the record again and again; every answer is kept."""
    turn = random.Random(20261127)
    cookie = cookie_of(desk)
    line = Line(desk, "/desk-line", cookie)
    line.until(lambda: line.state)
    begin(line, turn)
    with ExitStack() as stack:
        for number in range(150):
            half = stack.enter_context(socket.create_connection(desk.origin.partition("://")[2].split(":")))
            with suppress(ConnectionError):
                half.sendall(HALVES[number % len(HALVES)])
        for _ in range(20 if long else 2):
            with tally.one(), held(desk.home / "record.sqlite3"):
                line.until(lambda: line.judged(turn, 1_000_000) or line.noticed("waits in memory"))
                assert reached(desk, cookie)
            line.until(lambda: line.noticed("Nothing was lost"))
            line.send({"kind": "forget", "notice": "record-busy"})
    compare(desk, line, tally)
    line.close()


def test_a_desk_killed_in_the_middle_of_a_sitting(tmp_path, tally, long):
    """kill -9 while answers are judged as fast as the parent can press; what stood on the desk is in the record."""
    turn, seen = random.Random(6), {}
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        for name in ("Pip", "Wren"):
            record.add_child(name, at=NOON)
    prompts = str(_short_prompts(tmp_path / "p"))
    for _ in range(20 if long else 2):
        home = Household(tmp_path / "home", settings={**SETTINGS, "turns": ["Wren"]}, SAYIT_PROMPTS=prompts)
        line = Line(home, "/desk-line", cookie_of(home))
        try:
            with tally.one():
                begin(line, turn)
                more = turn.randrange(1, 6)
                line.until(lambda line=line, more=more: line.judged(turn, more))
                time.sleep(turn.uniform(0, 0.05))
                home.process.kill()
                home.process.wait()
            tally.tracebacks += (home.home / "log").read_text().count("Traceback")
            seen |= line.answers
        finally:
            with suppress(ConnectionClosed):
                line.close()
            home.close()
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        names = {child.id: child.name for child in record.children()}
        kept = {answer.id: (names[answer.child], answer.asked, answer.verdict) for answer in record.answers()}
    tally.lost += sum(number not in kept for number in seen)
    tally.crossed += sum(kept[number] != told for number, told in seen.items() if number in kept)
    print(f"\n{len(kept)} answers in the record, {len(seen)} of them seen at the desk")
    assert len(seen) >= tally.tried
    tally.nothing_lost()
