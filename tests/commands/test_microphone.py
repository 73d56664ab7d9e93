"""Whole sittings at a microphone and loudspeaker that PortAudio opens for itself.

ALSA's file plugin makes the card: what is played goes to a file, and what is
heard comes from a pipe, into which the test speaks when the program listens.
"""

import json
import os
import subprocess
import sys
import threading
from pathlib import Path

import numpy as np
import pytest

from sayit.sound.audio import RATE, load
from sayit.store import open_record
from tests.commands.program import COMMAND, environment

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux") or not Path("/usr/share/alsa/alsa.conf").exists(),
    reason="the card made of a pipe needs ALSA",
)

CHUNK = 1600


class Card:
    """A quiet room; ``say`` puts a recording into it."""

    def __init__(self, folder):
        self.heard = folder / "played.raw"
        self._pipe = folder / "microphone.pipe"
        os.mkfifo(self._pipe)
        self.settings = folder / "asound.conf"
        self.settings.write_text(
            f"""</usr/share/alsa/alsa.conf>
pcm.out {{ type file slave.pcm "null" file "{self.heard}" format "raw" }}
pcm.in {{ type file slave.pcm "null" file "/dev/null" infile "{self._pipe}" format "raw" }}
pcm.!default {{ type asym playback.pcm "out" capture.pcm "in" }}
"""
        )
        # Both ends, so that the program's end never finds the pipe closed.
        self._end = os.open(self._pipe, os.O_RDWR)
        self._random = np.random.default_rng(1)
        self._said = np.zeros(0, dtype=np.float32)
        self._lock = threading.Lock()
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def say(self, path):
        with self._lock:
            self._said = np.concatenate([np.zeros(RATE, dtype=np.float32), load(path)])

    def close(self):
        self._over.set()
        os.set_blocking(self._end, False)
        try:
            while os.read(self._end, 1 << 16):
                pass
        except BlockingIOError:
            pass
        self._thread.join(5)
        os.close(self._end)

    def _run(self):
        while not self._over.is_set():
            with self._lock:
                piece, self._said = self._said[:CHUNK], self._said[CHUNK:]
            room = 0.0005 * self._random.standard_normal(CHUNK).astype(np.float32)
            room[: len(piece)] += piece
            # Twice as fast as the world, so that eight seconds of patience outlast a busy machine.
            self._over.wait(CHUNK / RATE / 2)
            try:
                os.write(self._end, room.astype("<f4").tobytes())
            except BlockingIOError:
                return


@pytest.fixture
def card(tmp_path):
    card = Card(tmp_path)
    yield card
    card.close()


def start(card, home, *args):
    return subprocess.Popen(
        [*COMMAND, *args, "--json"],
        env={**environment(home), "ALSA_CONFIG_PATH": str(card.settings)},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def test_three_questions_are_spoken_heard_and_kept(card, spoken, tmp_path):
    home = tmp_path / "home"
    answers = iter(["forty five", "forty six", "four ten, five"])
    asking = ("--questions", "3", "--range", "45-45", "--form", "plain", "--seed", "1")
    events = []
    with start(card, home, "practise", *asking) as program:
        for line in program.stdout:
            events.append(json.loads(line))
            if events[-1]["event"] == "listening":
                card.say(spoken(next(answers)))
        complaint = program.stderr.read()
    assert program.returncode == 0, complaint
    assert all(event["aloud"] for event in events if event["event"] == "speaking")
    with open_record(home / "record.sqlite3") as record:
        (session,) = record.sessions()
        kept = record.answers()
    assert session.source == "microphone"
    assert [(answer.value, answer.verdict) for answer in kept] == [(45, "right"), (46, "wrong"), (45, "other-form")]
    assert all(answer.response_seconds > 0.5 for answer in kept), "a second of quiet came before each answer"
    played = np.fromfile(card.heard, dtype="<f4")
    # The card begins a new file whenever it is opened, so this is the last thing said.
    assert len(played) > RATE and np.abs(played).max() > 0.02


def test_ready_finds_the_microphone_and_the_loudspeaker(card, tmp_path):
    program = start(card, tmp_path / "home", "ready")
    told, _ = program.communicate(timeout=120)
    checks = {check["part"]: check for check in map(json.loads, told.splitlines())}
    assert program.returncode == 0
    assert checks["microphone"]["works"] and checks["loudspeaker"]["works"]
