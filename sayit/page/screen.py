"""The child's screen as a device: a microphone and a loudspeaker behind a websocket.

The sitting runs in a thread of its own and waits here for what the browser
does; the server tells what arrived. A reload takes the screen away for a moment, and
whoever waits goes on when it is back.
"""

from __future__ import annotations

import io
import itertools
import queue
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np

from sayit.errors import SayitError
from sayit.hearing.capture import BLOCK, MicrophoneLost, converter
from sayit.practice.lighting import Light
from sayit.sound.audio import RATE
from sayit.speaking.playback import NoLoudspeaker
from sayit.speaking.voice import SPOKEN_RATE, Spoken

__all__ = ["AWAY_SECONDS", "Screen", "ScreenAway", "plain", "wav"]

AWAY_SECONDS = 45.0
"""How long a sitting waits for a screen that was closed or reloaded before the parent takes over."""

_SPEAKS = ("lost", "denied", "speaks")
"""States of a page that can be heard, but does not hear."""

_SILENT_AFTER = 10.0
"""A page whose microphone goes says so at once; one that a busy machine holds up sends later what it heard meanwhile."""
_HELD = 400
"""Frames that wait at most where nobody takes them: some ten seconds."""
_LATE = 8.0
_GONE = "The child's screen is closed: open it again and touch it once."
_LOST = "The child's screen gets no sound: plug the microphone in, or allow its use beside the address."
_MUTE = "The child's screen plays no sound: touch it once, and look whether the tab is muted."


class ScreenAway(MicrophoneLost):
    """The child's screen was closed or reloaded while it was listened to."""


class Screen:
    """The one browser page that the child sits before, or the desk itself in a trial.

    ``send`` gives a message to it; ``mark`` begins the names of its sounds. ``state`` is "closed", "open" (not touched yet),
    "ready", "lost" (its microphone went away), "denied" (the browser does not let it listen) or "speaks" (nobody asked for its
    microphone).
    """

    name = "the browser's microphone"

    def __init__(self, send: Callable[[dict[str, Any]], None], mark: str = "") -> None:
        self._send = send
        self._mark = mark
        self.state = "closed"
        self._times = 0
        self._arrived: queue.SimpleQueue[np.ndarray] = queue.SimpleQueue()
        self._convert: Callable[[np.ndarray], np.ndarray] = lambda samples: samples
        self._numbers = itertools.count(1)
        self._sounds: dict[str, bytes] = {}
        self._said = threading.Event()
        self._playing = ""

    def is_now(self, state: str, rate: int = RATE) -> None:
        """The server's word for what became of the page; ``rate`` of its microphone in Hz where it is ready."""
        if state == "ready":
            if not 8_000 <= rate <= 192_000:
                raise SayitError(f"{rate} Hz is no rate of a microphone: reload the page.")
            self._convert = converter(rate)
            self._times += 1
        elif state == "closed":
            self._convert = converter(RATE)
        self.state = state

    def restart(self) -> None:
        """What was being heard or said is stale (the machine slept): begin it again."""
        self._times += 1

    def feed(self, frames: bytes) -> None:
        """Sound from the page: little-endian 16-bit samples, one channel."""
        samples = np.frombuffer(frames[: len(frames) // 2 * 2], dtype="<i2").astype(np.float32) / 32_768
        while self._arrived.qsize() > _HELD:
            self._arrived.get()
        self._arrived.put(self._convert(samples))

    def blocks(self) -> Iterator[np.ndarray]:
        """Blocks of 512 samples at 16 kHz from this moment on.

        Raises ScreenAway when the page goes and MicrophoneLost when it stays but
        nothing comes in for 10 s.
        """
        self._check()
        while not self._arrived.empty():
            self._arrived.get()
        return self._follow(self._times)

    def _follow(self, times: int) -> Iterator[np.ndarray]:
        rest = np.zeros(0, dtype=np.float32)
        silent = 0.0
        while True:
            try:
                rest = np.concatenate([rest, self._arrived.get(timeout=0.1)])
                silent = 0.0
            except queue.Empty:
                silent += 0.1
            self._check()
            if times != self._times:
                raise ScreenAway(_GONE)
            if silent >= _SILENT_AFTER:
                raise MicrophoneLost(_LOST)
            while len(rest) >= BLOCK:
                yield rest[:BLOCK]
                rest = rest[BLOCK:]

    def _check(self) -> None:
        if self.state in ("closed", "open"):
            raise ScreenAway(_GONE)
        if self.state != "ready":
            raise MicrophoneLost(_LOST)

    def wait(self, stop: Callable[[], bool], seconds: float = AWAY_SECONDS, *, to_play: bool = False) -> bool:
        """Wait until the page is ready; False once ``stop()`` is true or the time is over.

        A page whose microphone is lost can still play.
        """
        until = time.monotonic() + seconds
        while self.state != "ready" and not (to_play and self.state in _SPEAKS):
            if stop() or time.monotonic() > until:
                return False
            time.sleep(0.05)
        return True

    def play(self, spoken: Spoken, stop: Callable[[], bool], lights: Sequence[Light] = ()) -> bool:
        """Play on the page and return when it has been heard; False once ``stop()`` is true.

        Meanwhile the parts of the numbers in sight light up by ``lights``.
        A page that was reloaded plays it again from the start. Raises NoLoudspeaker, one line.
        """
        if not self.wait(stop, to_play=True):
            if stop():
                return False
            raise NoLoudspeaker(_GONE)
        while True:
            times = self._times
            number = f"{self._mark}{next(self._numbers)}"
            self._sounds = {**dict(list(self._sounds.items())[-1:]), number: wav(spoken.samples, SPOKEN_RATE)}
            self._said.clear()
            self._playing = number
            self._send({"play": number, "lights": plain(lights)})
            late = time.monotonic() + spoken.seconds + _LATE
            while not self._said.wait(0.05):
                if stop():
                    self._send({"hush": number})
                    return False
                if times != self._times or self.state not in ("ready", *_SPEAKS):
                    break
                if time.monotonic() > late:
                    raise NoLoudspeaker(_MUTE)
            else:
                return True
            if not self.wait(stop, to_play=True):
                if stop():
                    return False
                raise NoLoudspeaker(_GONE)

    def said(self, number: str) -> None:
        """The page has played a sound to its end."""
        if number == self._playing:
            self._said.set()

    def sound(self, number: str) -> bytes | None:
        """The WAV file that the page was told to play."""
        return self._sounds.get(number)


def plain(lights: Sequence[Light]) -> list[list[Any]]:
    """The lights as plain values for JSON: number, place, start and end in seconds."""
    return [[str(light.number), light.place, light.start, light.end] for light in lights]


def wav(samples: np.ndarray, rate: int) -> bytes:
    """A WAV file (16-bit) of mono ``float32`` samples."""
    import soundfile

    held = io.BytesIO()
    soundfile.write(held, np.clip(samples, -1.0, 1.0), rate, format="WAV", subtype="PCM_16")
    return held.getvalue()
