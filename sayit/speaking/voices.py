"""Which voices the system has: asked once, and kept.

On Linux they are those of the ``espeak-ng`` program, elsewhere what pyttsx3 lists in a process of its own.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sayit.errors import SayitError
from sayit.speaking.apart import Apart, Lost
from sayit.speaking.pack import packs

__all__ = ["SYSTEM", "TEXT_ONLY", "NoVoice", "SystemVoice", "english_voices", "espeak", "pick", "run", "voices"]

TEXT_ONLY = "so nothing is spoken and what to say is on the screen."
SYSTEM = Apart([sys.executable, "-P", str(Path(__file__).with_name("system_voice.py"))])
"""The system's speech where it is not espeak-ng."""

OWN_CHOICE = "System"
"""What a parent calls the voice that the machine would choose."""

_TIMEOUT_S = 20.0
_FOREIGN = 3
_listed: dict[str, tuple[SystemVoice, ...]] = {}
_one_at_a_time = threading.Lock()


class NoVoice(SayitError):  # noqa: N818
    """This machine has no voice that can be used."""


@dataclass(frozen=True, slots=True)
class SystemVoice:
    """A voice as the system lists it."""

    id: str
    name: str
    languages: tuple[str, ...]


def english_voices() -> tuple[str, ...]:
    """Names of the voices that come with sayit, then of this machine's English ones, its own choice first."""
    try:
        found = [OWN_CHOICE, *(voice.name for voice in voices())]
    except NoVoice:
        # The voice itself tells the parent what is wrong.
        found = []
    return tuple(dict.fromkeys([*packs(), *found]))


def voices() -> tuple[SystemVoice, ...]:
    """This machine's English voices. Raises NoVoice, one line, where there is no speech system."""
    with _one_at_a_time:
        asked = espeak() if on_linux() else " ".join(SYSTEM.command)
        if asked not in _listed:
            found = _espeak_voices(asked) if on_linux() else _system_voices()
            _listed[asked] = tuple(voice for voice in found if _rank(voice) < _FOREIGN)
        return _listed[asked]


def on_linux() -> bool:
    """Whether the voice is the espeak-ng program."""
    return sys.platform.startswith("linux")


def espeak() -> str:
    """The espeak-ng program. Raises NoVoice, one line, where it is missing."""
    program = shutil.which("espeak-ng") or shutil.which("espeak")
    if program is None:
        raise NoVoice(f"No voice on this machine, {TEXT_ONLY} {_advice()}")
    return program


def run(command: list[str], text: str = "") -> str:
    """What a program prints, given ``text``."""
    done = subprocess.run(
        command, input=text, capture_output=True, check=True, timeout=_TIMEOUT_S, encoding="utf-8", errors="replace"
    )
    return done.stdout


def pick(wanted: str | None) -> SystemVoice:
    """The voice that ``wanted`` is (part of) the identifier or name of; else a British one where there is one."""
    found = voices()
    if wanted and wanted.lower() != OWN_CHOICE.lower():
        wanted = wanted.lower()
        exact = [voice for voice in found if wanted in (voice.id.lower(), voice.name.lower())]
        near = [voice for voice in found if wanted in f"{voice.id} {voice.name}".lower()]
        if not exact + near:
            raise NoVoice(f"No English voice called {wanted!r}: leave it out to take the system's own.")
        return (exact + near)[0]
    if not found:
        raise NoVoice(f"No English voice on this machine, {TEXT_ONLY} {_advice()}")
    return min(found, key=_rank)


def _espeak_voices(program: str) -> list[SystemVoice]:
    """Rows of ``espeak-ng --voices``: priority, language, age/gender, name, file, other languages."""
    try:
        listed = run([program, "--voices=en"])
    except (OSError, subprocess.SubprocessError) as error:
        raise NoVoice(f"The voice program {program} does not run, {TEXT_ONLY} {_advice()}") from error
    rows = [line.split() for line in listed.splitlines()[1:]]
    # Voices of MBROLA are listed whether or not their own data are there.
    return [
        SystemVoice(row[4], row[3].replace("_", " "), (row[1],))
        for row in rows
        if len(row) >= 5 and not row[4].startswith("mb/")
    ]


def _system_voices() -> list[SystemVoice]:
    try:
        listed: Sequence[tuple[str, str, list[str]]] = SYSTEM.ask(do="list")["voices"]
    except Lost as lost:
        raise NoVoice(f"No voice on this machine, {TEXT_ONLY} {_advice()}") from lost
    return [SystemVoice(id_, name, tuple(languages)) for id_, name, languages in listed]


def _advice() -> str:
    if on_linux():
        return "Install the package espeak-ng (Debian, Ubuntu: sudo apt install espeak-ng)."
    return "Add an English voice in the system's speech settings."


def _rank(voice: SystemVoice) -> int:
    languages = [language.lower().replace("_", "-") for language in voice.languages]
    if "en-gb" in languages:
        return 0
    if any(language.split("-")[0] == "en" for language in languages):
        return 1
    return 2 if "english" in voice.name.lower() else _FOREIGN
