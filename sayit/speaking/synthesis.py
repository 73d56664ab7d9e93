"""The machine's own voice: text in, samples out.

Elsewhere than on Linux this is pyttsx3 with the system's own voices, writing to
a file in a process of its own; its ``say`` would play by means of its own, at full
level, and could not tell when the sound has ended.

On Linux it is the ``espeak-ng`` program itself.  pyttsx3 drives the same
espeak-ng, but its driver (2.99) cannot be relied on for files: ``runAndWait``
comes back before the file is written, and with the file waited for, a late
message of the text before still ended one text in five with nothing in it; a
number cut short would be a wrong question.  It also prints on the screen, ends
the whole program where espeak's data are missing, and hangs when espeak is
started a second time.  The program does none of this and takes 20 ms.
"""

from __future__ import annotations

import functools
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path

import numpy as np

from sayit.errors import SayitError
from sayit.sound.audio import load
from sayit.speaking import voices
from sayit.speaking.apart import Lost
from sayit.speaking.voices import NoVoice

__all__ = ["NoVoice", "SentenceLost", "Synthesiser", "open_synthesiser"]


class SentenceLost(NoVoice):
    """The voice made nothing of one text; the next may be said."""


class Synthesiser:
    """A voice of the machine at a set speed; ``render`` makes samples at ``rate`` Hz."""

    def __init__(self, name: str, rate: int, write: Callable[[str, Path], None]) -> None:
        self.name = name
        self.rate = rate
        self._write = write
        self._said = functools.lru_cache(maxsize=256)(self._fresh)

    def render(self, text: str) -> np.ndarray:
        """Say ``text``: mono ``float32`` samples, kept for the next time it is said (do not change them).

        Raises SentenceLost, one line, when the voice leaves no sound behind.
        """
        return self._said(text)

    def _fresh(self, text: str) -> np.ndarray:
        with tempfile.TemporaryDirectory(prefix="sayit-") as folder:
            path = Path(folder) / "said.wav"
            try:
                self._write(text, path)
                samples = load(path, self.rate)
            except (SayitError, OSError, subprocess.SubprocessError, Lost) as error:
                raise SentenceLost(
                    f"The voice {self.name!r} made no sound, {voices.TEXT_ONLY} Choose another voice."
                ) from error
        samples.setflags(write=False)
        return samples


def open_synthesiser(rate: int, words_per_minute: int, voice: str | None = None) -> Synthesiser:
    """The machine's English voice, British where there is one, or the one that ``voice`` names.

    ``voice`` is (part of) an identifier or a name as the system lists it.  Raises
    NoVoice, one line, when there is no speech system or no such voice.
    """
    chosen = voices.pick(voice)

    def by_espeak(text: str, path: Path) -> None:
        # The text goes in by the standard input: as an argument it could pass for an option.
        speed = str(words_per_minute)
        voices.run([voices.espeak(), "-v", chosen.id, "-s", speed, "-b", "1", "-w", str(path), "--stdin"], text)

    def by_system(text: str, path: Path) -> None:
        voices.SYSTEM.ask(do="render", text=text, path=str(path), voice=chosen.id, rate=words_per_minute)

    return Synthesiser(chosen.name, rate, by_espeak if voices.on_linux() else by_system)
