"""Sound in: a microphone, or a file in its place, as blocks of 512 samples at 16 kHz."""

from __future__ import annotations

import os
import queue
from collections.abc import Callable, Iterator
from types import ModuleType
from typing import Any, Protocol, Self

import numpy as np

from sayit.errors import SayitError
from sayit.sound.audio import RATE, load
from sayit.sound.portaudio import clear_stale_lock, load_sounddevice

__all__ = [
    "BLOCK",
    "FileMicrophone",
    "Microphone",
    "MicrophoneLost",
    "Source",
    "blocks",
    "converter",
    "microphone_name",
]

BLOCK = 512
"""Samples in a block: 32 ms, what the voice activity detector takes at a time."""

_LOST_AFTER_S = 2.0


class MicrophoneLost(SayitError):  # noqa: N818
    """No sound comes in: no microphone, no sound system, or it was unplugged."""


class Source(Protocol):
    """Where blocks come from."""

    def blocks(self) -> Iterator[np.ndarray]:
        """Blocks of ``BLOCK`` mono ``float32`` samples at 16 kHz, from this moment on."""
        ...


def blocks(samples: np.ndarray) -> Iterator[np.ndarray]:
    """Cut 16 kHz mono samples into blocks; the last is filled up with silence."""
    for start in range(0, len(samples), BLOCK):
        block = np.asarray(samples[start : start + BLOCK], dtype=np.float32)
        yield np.pad(block, (0, BLOCK - len(block)))


class FileMicrophone:
    """A recorded answer in the microphone's place: every ``blocks()`` plays it from the start."""

    def __init__(self, path: str | os.PathLike[str]) -> None:
        """Read the file.  Raises SayitError as :func:`sayit.sound.audio.load` does."""
        self.name = os.fspath(path)
        self._samples = load(path)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        pass

    def blocks(self) -> Iterator[np.ndarray]:
        """The file's blocks, as fast as they are taken; ends with the file."""
        return blocks(self._samples)


class Microphone:
    """The machine's microphone, open between ``with`` and its end.

    ``dropped`` counts the times that the machine was too busy and sound was lost.
    """

    def __init__(self, device: int | str | None = None) -> None:
        self.name = ""
        self.dropped = 0
        self._device = device
        self._stream: Any = None
        self._convert: Callable[[np.ndarray], np.ndarray] = converter(RATE)
        self._arrived: queue.SimpleQueue[np.ndarray | None] = queue.SimpleQueue()

    def __enter__(self) -> Self:
        """Open the device at 16 kHz, or at its own rate where it cannot.  Raises MicrophoneLost.

        A microphone that was plugged in after the program started is found too.
        """
        sounddevice = _sounddevice()
        try:
            self._open(sounddevice)
        except MicrophoneLost:
            _look_again(sounddevice)
            self._open(sounddevice)
        return self

    def __exit__(self, *error: object) -> None:
        self._close()

    def blocks(self) -> Iterator[np.ndarray]:
        """Blocks from this moment on: what came in before, the tool's own voice say, is dropped.

        The count starts at the call, not at the first block taken.  Raises
        MicrophoneLost when nothing arrives for 2 s or the device goes away; the
        microphone is closed then, and a new one can be opened.
        """
        if self._stream is None:
            raise MicrophoneLost("The microphone is not open: open it before listening.")
        while not self._arrived.empty():
            if self._arrived.get() is None:
                self._close()
                raise MicrophoneLost(_LOST)
        return self._follow()

    def _follow(self) -> Iterator[np.ndarray]:
        rest = np.zeros(0, dtype=np.float32)
        while True:
            try:
                arrived = self._arrived.get(timeout=_LOST_AFTER_S)
            except queue.Empty:
                arrived = None
            if arrived is None:
                self._close()
                raise MicrophoneLost(_LOST)
            rest = np.concatenate([rest, self._convert(arrived)])
            while len(rest) >= BLOCK:
                yield rest[:BLOCK]
                rest = rest[BLOCK:]

    def _open(self, sounddevice: ModuleType) -> None:
        self.name = microphone_name(self._device)
        self._arrived = queue.SimpleQueue()
        try:
            rate = self._rate(sounddevice)
            self._convert = converter(rate)
            self._stream = sounddevice.InputStream(
                samplerate=rate,
                channels=1,
                dtype="float32",
                device=self._device,
                blocksize=BLOCK if rate == RATE else 0,
                callback=self._take,
                finished_callback=self._ended,
            )
            self._stream.start()
        except (sounddevice.PortAudioError, ValueError) as error:
            self._close()
            raise MicrophoneLost(_LOST) from error

    def _rate(self, sounddevice: ModuleType) -> int:
        try:
            sounddevice.check_input_settings(self._device, channels=1, dtype="float32", samplerate=RATE)
        except sounddevice.PortAudioError:
            return int(sounddevice.query_devices(self._device, "input")["default_samplerate"])
        return RATE

    def _take(self, samples: np.ndarray, _frames: int, _time: object, status: Any) -> None:
        if status.input_overflow:
            self.dropped += 1
        self._arrived.put(samples[:, 0].copy())

    def _ended(self) -> None:
        self._arrived.put(None)

    def _close(self) -> None:
        if self._stream is not None:
            stream, self._stream = self._stream, None
            # A device that was pulled out cannot be stopped, only let go.
            stream.abort(ignore_errors=True)
            stream.close(ignore_errors=True)


_LOST = "The microphone cannot be heard: plug it in, or allow its use in the system's settings."


def microphone_name(device: int | str | None = None) -> str:
    """Name of the microphone that would be used.  Raises MicrophoneLost, one line, when there is none."""
    sounddevice = _sounddevice()
    try:
        return str(sounddevice.query_devices(device, "input")["name"])
    except (sounddevice.PortAudioError, ValueError) as error:
        raise MicrophoneLost(_LOST) from error


def _look_again(sounddevice: ModuleType) -> None:
    """Read the list of devices anew: PortAudio makes it once, when it starts."""
    try:
        sounddevice._terminate()  # noqa: SLF001  # there is no public way
        clear_stale_lock()
        sounddevice._initialize()  # noqa: SLF001
    except sounddevice.PortAudioError as error:
        raise MicrophoneLost(_LOST) from error


def converter(rate: int) -> Callable[[np.ndarray], np.ndarray]:
    """Brings pieces of one sound taken at ``rate`` Hz to 16 kHz, one after the other."""
    if rate == RATE:
        return lambda samples: samples
    import soxr

    convert: Callable[[np.ndarray], np.ndarray] = soxr.ResampleStream(rate, RATE, 1, dtype="float32").resample_chunk
    return convert


def _sounddevice() -> ModuleType:
    try:
        return load_sounddevice()
    except OSError as error:
        raise MicrophoneLost(
            "The sound library PortAudio is missing: install it (Debian, Ubuntu: sudo apt install libportaudio2)."
        ) from error
