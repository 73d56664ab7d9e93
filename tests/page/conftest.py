"""The program itself, a headless Chromium before it, and recordings in the microphone's place.

Only the devices are replaced: Chromium's own fake capture plays a WAV file, or
(``speaking``) a recording is played into the microphone's place at a moment that the
test chooses. Page, websocket, end rule, recogniser, judge and record are the real ones.
"""

import base64
import io
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest

from sayit.sound.audio import RATE, load, save
from sayit.store import open_record
from tests.speech_data import speak

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
ARGUMENTS = (
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
    "--use-fake-device-for-media-stream",
    "--use-fake-ui-for-media-stream",
)
FAST = {"rate": 220, "volume": 0.2, "plan": False}
"""Settings that make the tests' sittings short."""


SHORT = {
    "session.hello": "Hi.",
    "session.goodbye": "Bye.",
    "your-turn": "You.",
    "ask.say-back": "{number}.",
    "ask.other-way-explicit": "{number}?",
    "ask.other-way-plain": "{number}?",
    "ask.build": "{number}.",
    "ask.read-out-plain": "Which?",
    "ask.places": "{number}.",
    "ask.glimpse": "How many?",
    "reply.yes": "Yes.",
    "reply.model": "{number}.",
    "reply.model-built": "{number}, {digits}.",
    "reply.other-form-explicit": "{number}.",
    "reply.other-form-plain": "{number}.",
    "reply.other-form-digits": "{number}.",
    "reply.again": "Once more?",
    "reply.again-built": "Once more?",
    "reply.not-a-number": "Once more?",
    "reply.not-heard": "Once more?",
}
"""Wordings that make the tests' sittings short; of others only the words in braces are said."""


def _shortened(wording: str) -> str:
    return ", ".join(re.findall(r"{\w+}", wording)) + "." if "{" in wording else "Well."


def _short_prompts(folder: Path) -> Path:
    """The project's phrase bank with these wordings, as a parent might reword it."""
    import tomllib

    from sayit import paths

    bank = tomllib.loads((paths.prompts() / "en.toml").read_text(encoding="utf-8"))
    folder.mkdir(parents=True, exist_ok=True)
    lines = [
        f"{json.dumps(key)} = {json.dumps(SHORT.get(key) or [_shortened(one) for one in wordings])}"
        for key, wordings in bank.items()
    ]
    (folder / "en.toml").write_text("\n".join(lines), encoding="utf-8")
    return folder


DESK = (sys.executable, "-m", "sayit", "desk", "--json", "--no-browser")


class Household:
    """A running ``sayit desk`` with a record of its own; ``program`` may start it in another way."""

    def __init__(
        self,
        home: Path,
        *arguments: str,
        settings: dict | None = None,
        program: tuple[str, ...] = DESK,
        **environment: str,
    ) -> None:
        self.home = home
        home.mkdir(parents=True, exist_ok=True)
        if settings is not None:
            (home / "desk.json").write_text(json.dumps({**FAST, **settings}))
        self._log = (home / "log").open("w")
        self.process = subprocess.Popen(
            [*program, *arguments],
            env={**os.environ, "SAYIT_HOME": str(home), **environment},
            stdout=subprocess.PIPE,
            stderr=self._log,
            text=True,
        )
        line = self.process.stdout.readline()
        assert line, (home / "log").read_text()
        self._address: str | None = json.loads(line)["address"]
        self.origin = self._address.partition("/desk?key=")[0]

    def address(self) -> str:
        """An address that opens the desk, once; the next is told when it was used."""
        given = self._address or json.loads(self.process.stdout.readline())["address"]
        self._address = None
        return given

    def answers(self):
        with open_record(self.home / "record.sqlite3") as record:
            return record.answers()

    def sessions(self):
        with open_record(self.home / "record.sqlite3") as record:
            return record.sessions()

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            try:
                self.process.wait(10)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()
        self.process.stdout.close()
        self._log.close()


@pytest.fixture
def household(tmp_path):
    """Makes a household: ``household(child="Pip", low=45, ...)`` with the settings given."""
    made = []

    def make(*arguments, name="home", environment=None, program=DESK, **settings):
        home = tmp_path / name
        if child := settings.get("child"):
            from datetime import UTC, datetime

            home.mkdir(parents=True, exist_ok=True)
            with open_record(home / "record.sqlite3") as record:
                record.child(child) or record.add_child(child, at=datetime(2026, 3, 2, tzinfo=UTC))
        prompts = str(_short_prompts(tmp_path / "prompts"))
        around = {"SAYIT_PROMPTS": prompts, **(environment or {})}
        made.append(Household(home, *arguments, settings=settings, program=program, **around))
        return made[-1]

    yield make
    for one in made:
        one.close()


_GIVEN_IN = """
import sys
import time
from pathlib import Path

from sayit.hearing.loading import Loading
from sayit.page.server import serve
from sayit.hearing.listener import open_listener
from sayit.sitting.clock import elapsed

ahead, loaded = map(Path, sys.argv[1:])

def minutes():
    return float(ahead.read_text())

def load():
    while not loaded.exists():
        time.sleep(0.05)
    return open_listener()

serve(
    listener=Loading(load),
    opened=lambda address: print('{"address": "%s"}' % address, flush=True),
    seconds=lambda: elapsed() + 60 * minutes(),
)
"""


@pytest.fixture
def given_in(household, tmp_path):
    """A household whose count of time (``forward``: minutes ahead) and disk (``loaded``: the recogniser can be read) are ours."""
    ahead, loaded = tmp_path / "ahead", tmp_path / "loaded"

    def forward(minutes):
        # The program may read it at any moment.
        new = tmp_path / "ahead.new"
        new.write_text(str(minutes))
        new.replace(ahead)

    def make(**settings):
        forward(0)
        home = household(str(ahead), str(loaded), program=(sys.executable, "-c", _GIVEN_IN), **settings)
        home.forward, home.loaded = forward, loaded
        return home

    return make


@pytest.fixture(scope="session")
def chromium():
    """Starts Chromium; ``chromium(wav)`` with a file as its microphone, once or ``again`` and again."""
    if CHROMIUM is None:
        pytest.skip("chromium is missing: apt-get install chromium")
    playwright = pytest.importorskip("playwright.sync_api", reason="pip install playwright")
    opened = {}
    with playwright.sync_playwright() as running:

        def start(wav=None, again=False):
            if wav not in opened:
                more = [f"--use-file-for-fake-audio-capture={wav}{'' if again else '%noloop'}"] if wav else []
                opened[wav] = running.chromium.launch(executable_path=CHROMIUM, args=[*ARGUMENTS, *more])
            return opened[wav]

        yield start
        for browser in opened.values():
            browser.close()


@pytest.fixture(scope="session")
def voice(tmp_path_factory):
    """Recordings by a synthetic voice as samples, made once for each text."""
    for program in ("espeak-ng", "flite"):
        if shutil.which(program) is None:
            pytest.skip(f"{program} is missing: apt-get install {program}")
    folder = tmp_path_factory.mktemp("said")

    def make(text, speaker="espeak en-gb"):
        path = folder / f"{speaker}-{text}.wav".replace(" ", "_")
        if not path.exists():
            speak(speaker, text, path)
        return load(path)

    return make


@pytest.fixture
def spoken_file(voice, tmp_path):
    """The same recordings as files."""

    def make(text):
        path = tmp_path / f"{text}.wav"
        save(voice(text), path)
        return path

    return make


def timed(length: float, *said: tuple[float, np.ndarray]) -> np.ndarray:
    """``length`` seconds of near silence with recordings from the seconds given on."""
    whole = np.random.default_rng(1).normal(0, 1e-4, int(length * RATE)).astype(np.float32)
    for start, samples in said:
        at = int(start * RATE)
        whole[at : at + len(samples)] += samples[: len(whole) - at]
    return whole


_MICROPHONE = """
if (navigator.mediaDevices) navigator.mediaDevices.getUserMedia = async () => {
  const context = new AudioContext();
  const place = context.createMediaStreamDestination();
  // A room is never dead silent.
  const room = context.createBufferSource();
  room.buffer = context.createBuffer(1, context.sampleRate, context.sampleRate);
  const noise = room.buffer.getChannelData(0);
  for (let i = 0; i < noise.length; i++) noise[i] = (Math.random() - 0.5) * 4e-3;
  room.loop = true;
  room.connect(place);
  room.start();
  window.speakInto = async (wav) => {
    const bytes = Uint8Array.from(atob(wav), (sign) => sign.charCodeAt(0));
    const source = context.createBufferSource();
    source.buffer = await context.decodeAudioData(bytes.buffer);
    source.connect(place);
    source.start();
    return source.buffer.duration;
  };
  window.pullOut = () => { const [track] = place.stream.getAudioTracks(); track.stop(); track.onended(); };
  return place.stream;
};
"""


_SIGNS = """
document.addEventListener("DOMContentLoaded", () => {
  window.signs = [];
  const note = () => window.signs.push(document.body.dataset.sign);
  new MutationObserver(note).observe(document.body, { attributeFilter: ["data-sign"] });
});
"""


class Visit:
    """A parent's desk and a child's screen open in one browser."""

    def __init__(self, browser, home: Household, *, speaking: bool, **context) -> None:
        self.home = home
        self.context = browser.new_context(**context)
        self.context.set_default_timeout(20_000)
        self.asked: list[str] = []
        self.trouble: list[str] = []
        self._turns = 0
        self.context.on("request", lambda request: self.asked.append(request.url))
        self.context.on("weberror", lambda error: self.trouble.append(str(error.error)))
        self.context.on("console", self._console)
        if speaking:
            self.context.add_init_script(_MICROPHONE)
        self.desk = self.context.new_page()
        self.desk.goto(home.address())
        self.screen = self.window()
        self.screen.add_init_script(_SIGNS)
        self.screen.goto(home.origin + "/")

    def window(self):
        """A page in a window of its own: in a tab behind another one Chromium draws once a second, and clicks wait."""
        asking = self.context.new_cdp_session(self.desk)
        wanted = {"url": "about:blank", "newWindow": True}
        wanted["browserContextId"] = asking.send("Target.getTargetInfo")["targetInfo"]["browserContextId"]
        with self.context.expect_page() as opened:
            asking.send("Target.createTarget", wanted)
        asking.detach()
        return opened.value

    def _console(self, message) -> None:
        if message.type == "error":
            self.trouble.append(message.text)

    def touch(self) -> None:
        """Wake the child's screen, and wait until the desk knows."""
        self.wake()
        said = re.compile("Ready|machine's own|may not listen")
        self.desk.locator("#parts dt", has_text="Microphone").locator("+ dd", has_text=said).wait_for(state="attached")

    def room(self, name: str):
        """Go to a room of the desk: "Today", "Child" or "Set-up"."""
        self.desk.get_by_role("link", name=name, exact=True).click()
        return self.desk

    def wake(self) -> None:
        """As a finger would where the browser does not open the sound by itself."""
        from playwright.sync_api import TimeoutError as Unseen

        until = time.monotonic() + 20
        while self.screen.locator("body").get_attribute("data-gate") != "open":
            assert time.monotonic() < until, "the screen did not wake"
            with suppress(Unseen):
                self.screen.locator("#touch").click(timeout=200)

    def start(self) -> None:
        self.desk.bring_to_front()
        self.room("Today").locator("#start").click()

    def sign(self, name: str, seconds: float = 20.0) -> None:
        """Wait until the child's screen shows this sign."""
        self.screen.wait_for_selector(f"body[data-sign={name}]", timeout=seconds * 1000)

    def next_turn(self, seconds: float = 20.0) -> None:
        """Wait for a turn of the child later than the one waited for last: the record is often ahead of the screen."""
        js = "turns => window.signs.filter(sign => sign === 'turn').length > turns"
        self.screen.wait_for_function(js, arg=self._turns, timeout=seconds * 1000)
        self.sign("turn", seconds)
        self._turns = self.signs().count("turn")

    def signs(self) -> list[str]:
        """All signs that the child's screen has shown since it was loaded, the last one last."""
        return self.screen.evaluate("() => window.signs")

    def nodded(self, seconds: float = 20.0) -> None:
        """Wait until the screen has shown, since it was loaded, that an answer was heard: a nod may last a moment only."""
        self.screen.wait_for_function("() => window.signs.includes('heard')", timeout=seconds * 1000)

    def spoke(self, seconds: float = 20.0) -> None:
        """Wait until the screen has shown, since it was loaded, that the tool speaks, even for a moment."""
        self.screen.wait_for_function("() => window.signs.includes('speaks')", timeout=seconds * 1000)

    def say(self, samples: np.ndarray, page=None) -> None:
        """Speak into the microphone of the child's screen, or of another page, now."""
        import soundfile

        held = io.BytesIO()
        soundfile.write(held, samples, RATE, format="WAV", subtype="PCM_16")
        (page or self.screen).evaluate("wav => window.speakInto(wav)", base64.b64encode(held.getvalue()).decode())

    def press(self, name: str) -> None:
        self.desk.get_by_role("button", name=name).first.click()

    def heard(self, count: int, seconds: float = 25.0):
        """Wait until the record holds ``count`` answers, and give them."""
        until = time.monotonic() + seconds
        while len(answers := self.home.answers()) < count:
            assert time.monotonic() < until, f"{len(answers)} answers after {seconds} s, not {count}"
            # Playwright's events are only served while it runs.
            self.screen.wait_for_timeout(100)
        return answers

    def answers_on_desk(self) -> list[str]:
        return self.desk.locator("#answers li").all_inner_texts()

    def close(self) -> None:
        self.context.close()


@pytest.fixture
def visit(chromium):
    """``visit(home)`` opens both pages; ``speaking`` True puts recordings into the microphone's place on demand."""
    made = []

    def make(home, *, speaking=True, wav=None, again=False, **context):
        made.append(Visit(chromium(wav, again), home, speaking=speaking, **context))
        return made[-1]

    yield make
    for one in made:
        one.close()


@pytest.fixture(scope="session")
def microphone_file(tmp_path_factory):
    """Writes samples to a WAV file that Chromium's fake capture plays."""
    folder = tmp_path_factory.mktemp("microphone")

    def write(name, samples):
        path = folder / f"{name}.wav"
        save(samples, path)
        return path

    return write
