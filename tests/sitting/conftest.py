"""A sitting with real sound, recogniser and record; only the two devices are replaced.

The microphone's place is taken by recordings of a synthetic voice, the
keyboard's by choices that are pressed when an event is reported.
"""

import shutil
from collections import defaultdict, deque
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from random import Random

import numpy as np
import pytest

from sayit.errors import SayitError
from sayit.hearing.capture import FileMicrophone
from sayit.hearing.endpoint import EndRule
from sayit.hearing.loading import Loading
from sayit.practice.free import FreeGuide, ask
from sayit.sitting.devices import Devices
from sayit.sitting.ears import TRIES, catch
from sayit.sitting.parent import Choice
from sayit.sitting.sit import sit
from sayit.sitting.speaker import Speaker
from sayit.sitting.table import Seat, Table
from sayit.sound.audio import RATE, save
from sayit.speaking.phrases import open_bank
from sayit.speaking.recordings import Recordings
from sayit.speaking.voice import SpokenVoice, VoiceSettings
from sayit.store import open_record
from tests.speech_data import speak

START = datetime(2026, 3, 2, 16, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def listener():
    from sayit.hearing.listener import open_listener

    return open_listener()


@pytest.fixture(scope="session")
def spoken(tmp_path_factory):
    """Recordings by a synthetic voice, made once for each text; "" is silence."""
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is missing: apt-get install espeak-ng")
    folder = tmp_path_factory.mktemp("spoken")

    def make(text):
        path = folder / f"{text.replace(' ', '_') or 'silence'}.wav"
        if path.exists():
            return path
        if text:
            speak("espeak en-gb", text, path)
        else:
            save(np.zeros(RATE, dtype=np.float32), path)
        return path

    return make


class PressedKeys:
    """A parent whose keys are pressed when an event of that name is reported."""

    def __init__(self, presses, present):
        self.present = present
        self._presses = {name: deque(choices) for name, choices in presses.items()}
        self._pressed = deque()

    def see(self, event):
        if waiting := self._presses.get(type(event).__name__):
            choice = waiting.popleft()
            if choice is not None:
                self._pressed.append(choice)

    def decide(self, seconds):
        return self._pressed.popleft() if self._pressed else None


class PlayedEars:
    """Recordings played into the microphone's place, one after the other."""

    source = "microphone"

    def __init__(self, sources):
        self._sources = iter(sources)

    def listen(self, question, attempt, interrupted, hear, complete):
        return catch(next(self._sources), EndRule(), interrupted, hear, complete, claps=question.clapped)


class Clock:
    """Goes on by ``step`` seconds whenever it is looked at."""

    def __init__(self, step=1.0):
        self.time = START
        self.step = step

    def __call__(self):
        self.time += timedelta(seconds=self.step)
        return self.time


class Sitting:
    def __init__(self, table, events, clock):
        self.table, self.events, self.clock = table, events, clock
        self.record = table.record

    def play(self, minutes=60, questions=None, reopen=None):
        self.table.minutes, self.table.questions = minutes, questions
        if reopen:
            self.table.devices.reopen = reopen
        return sit(self.table)

    def named(self, name):
        return [event for event in self.events if type(event).__name__ == name]

    def words(self):
        return [event.words for event in self.named("Speaking")]

    @property
    def answers(self):
        return self.record.answers(session=self.table.seats[0].session)


@pytest.fixture
def prepare(tmp_path, spoken, listener):
    """Makes a sitting about ``questions``, answered by what ``says`` says."""
    made = []

    def make(
        questions=((45, "explicit"),),
        says=(),
        press=None,
        *,
        present=True,
        voice=None,
        ears=True,
        sources=None,
        step=1.0,
        load=lambda: listener,
        watch=lambda event: None,
    ):
        events, clock = [], Clock(step)
        presses = defaultdict(list, press or {})
        parent = PressedKeys(presses, present)

        def report(event):
            events.append(event)
            watch(event)
            parent.see(event)

        record = open_record(tmp_path / f"record-{len(made)}.sqlite3")
        made.append(record)
        pip = record.add_child("Pip", at=START)
        session = record.start_session(pip, at=START, source="microphone", seed=1)
        voice = voice or SpokenVoice(VoiceSettings(), Recordings(tmp_path / "none", RATE), None, "no voice")
        if sources is None:
            sources = [FileMicrophone(spoken(text)) for text in says]
        loading = Loading(load)
        # Loaded by the time the greeting is over; what went wrong is told when it is wanted.
        with suppress(SayitError):
            loading()
        speaker = Speaker(open_bank(), voice, random=Random(1), report=report)
        table = Table(
            record=record,
            guide=FreeGuide(
                iter([ask(*question) for question in questions]), tries=lambda question: TRIES, returns=False
            ),
            seats=(Seat(pip, session, speaker),),
            host=speaker,
            devices=Devices(
                voice=voice,
                listener=loading,
                parent=parent,
                ears=PlayedEars(sources) if ears else None,
                pause=0.0,
            ),
            report=report,
            now=clock,
            minutes=60,
        )
        return Sitting(table, events, clock)

    yield make
    for record in made:
        record.close()


R, W, A, S, Q, G = Choice.RIGHT, Choice.WRONG, Choice.AGAIN, Choice.SKIP, Choice.STOP, Choice.GO
