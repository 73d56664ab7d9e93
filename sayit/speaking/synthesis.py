"""The machine's own voice: text in, samples out.

Elsewhere than on Linux this is pyttsx3 with the system's own voices, writing to
a file; its ``say`` would play by means of its own, at full level, and could not
tell when the sound has ended.

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
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sayit.errors import SayitError
from sayit.sound.audio import load

__all__ = ["NoVoice", "Synthesiser", "open_synthesiser"]

_TIMEOUT_S = 20.0
_TEXT_ONLY = "so nothing is spoken and what to say is on the screen."


class NoVoice(SayitError):
    """This machine has no voice that can be used."""


@dataclass(frozen=True, slots=True)
class _Spoken:
    """A voice as the system lists it."""

    id: str
    name: str
    languages: tuple[str, ...]


class Synthesiser:
    """A voice of the machine at a set speed; ``render`` makes samples at ``rate`` Hz."""

    def __init__(self, name: str, rate: int, write: Callable[[str, Path], None]) -> None:
        self.name = name
        self.rate = rate
        self._write = write
        self._said = functools.lru_cache(maxsize=256)(self._fresh)

    def render(self, text: str) -> np.ndarray:
        """Say ``text``: mono ``float32`` samples, kept for the next time it is said (do not change them).

        Raises NoVoice, one line, when the voice leaves no sound behind.
        """
        return self._said(text)

    def _fresh(self, text: str) -> np.ndarray:
        with tempfile.TemporaryDirectory(prefix="sayit-") as folder:
            path = Path(folder) / "said.wav"
            try:
                self._write(text, path)
                samples = load(path, self.rate)
            except (SayitError, OSError, subprocess.SubprocessError, RuntimeError) as error:
                raise NoVoice(f"The voice {self.name!r} made no sound, {_TEXT_ONLY} Choose another voice.") from error
        samples.setflags(write=False)
        return samples


def open_synthesiser(rate: int, words_per_minute: int, voice: str | None = None) -> Synthesiser:
    """The machine's English voice, British where there is one, or the one that ``voice`` names.

    ``voice`` is (part of) an identifier or a name as the system lists it.  Raises
    NoVoice, one line, when there is no speech system or no such voice.
    """
    if sys.platform.startswith("linux"):
        name, write = _espeak(words_per_minute, voice)
    else:
        name, write = _system(words_per_minute, voice)
    return Synthesiser(name, rate, write)


def _espeak(words_per_minute: int, voice: str | None) -> tuple[str, Callable[[str, Path], None]]:
    advice = "Install the package espeak-ng (Debian, Ubuntu: sudo apt install espeak-ng)."
    program = shutil.which("espeak-ng") or shutil.which("espeak")
    if program is None:
        raise NoVoice(f"No voice on this machine, {_TEXT_ONLY} {advice}")
    try:
        listed = _run([program, "--voices=en"])
    except (OSError, subprocess.SubprocessError) as error:
        raise NoVoice(f"The voice program {program} does not run, {_TEXT_ONLY} {advice}") from error
    chosen = _pick(_espeak_voices(listed), voice, advice)

    def write(text: str, path: Path) -> None:
        # The text goes in by the standard input: as an argument it could pass for an option.
        _run([program, "-v", chosen.id, "-s", str(words_per_minute), "-b", "1", "-w", str(path), "--stdin"], text)

    return chosen.name, write


def _run(command: list[str], text: str = "") -> str:
    done = subprocess.run(
        command, input=text, capture_output=True, check=True, timeout=_TIMEOUT_S, encoding="utf-8", errors="replace"
    )
    return done.stdout


def _espeak_voices(listed: str) -> list[_Spoken]:
    """Rows of ``espeak-ng --voices``: priority, language, age/gender, name, file, other languages."""
    rows = [line.split() for line in listed.splitlines()[1:]]
    # Voices of MBROLA are listed whether or not their own data are there.
    return [
        _Spoken(row[4], row[3].replace("_", " "), (row[1],))
        for row in rows
        if len(row) >= 5 and not row[4].startswith("mb/")
    ]


def _system(words_per_minute: int, voice: str | None) -> tuple[str, Callable[[str, Path], None]]:
    advice = "Add an English voice in the system's speech settings."
    try:
        import pyttsx3

        engine = pyttsx3.init()
        voices = [
            _Spoken(found.id, found.name or found.id, tuple(map(str, found.languages or ())))
            for found in engine.getProperty("voices") or ()
        ]
    except Exception as error:
        # Its drivers raise whatever their system does: ImportError, OSError, COM errors.
        raise NoVoice(f"No voice on this machine, {_TEXT_ONLY} {advice}") from error
    chosen = _pick(voices, voice, advice)
    engine.setProperty("voice", chosen.id)
    engine.setProperty("rate", words_per_minute)
    engine.setProperty("volume", 1.0)

    def write(text: str, path: Path) -> None:
        engine.save_to_file(text, str(path))
        engine.runAndWait()

    return chosen.name, write


def _pick(voices: Sequence[_Spoken], wanted: str | None, advice: str) -> _Spoken:
    if wanted:
        wanted = wanted.lower()
        exact = [voice for voice in voices if wanted in (voice.id.lower(), voice.name.lower())]
        near = [voice for voice in voices if wanted in f"{voice.id} {voice.name}".lower()]
        if not exact + near:
            raise NoVoice(f"No English voice called {wanted!r}: leave it out to take the system's own.")
        return (exact + near)[0]
    english = [voice for voice in voices if _rank(voice) < _FOREIGN]
    if not english:
        raise NoVoice(f"No English voice on this machine, {_TEXT_ONLY} {advice}")
    return min(english, key=_rank)


_FOREIGN = 3


def _rank(voice: _Spoken) -> int:
    languages = [language.lower().replace("_", "-") for language in voice.languages]
    if "en-gb" in languages:
        return 0
    if any(language.split("-")[0] == "en" for language in languages):
        return 1
    return 2 if "english" in voice.name.lower() else _FOREIGN
