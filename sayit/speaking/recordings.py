"""A parent's own voice: recorded phrases and number words that replace the machine's."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches
from hashlib import sha256
from pathlib import Path

import numpy as np

from sayit.errors import SayitError
from sayit.numbers import NUMBER_WORDS
from sayit.sound.audio import load
from sayit.speaking.phrases import RENAMED

__all__ = ["Recordings", "forget", "forget_name", "name_file", "open_recordings", "recorded"]

_ENDINGS = (".wav", ".flac", ".ogg")


class Recordings:
    """The folder ``recorded/``: ``phrases/ask.say-back-1a.wav``, ``words/four.wav``, ``names/`` and so on.

    Sound files are WAV, FLAC or OGG.  They are read on first use and kept.
    """

    def __init__(self, folder: str | os.PathLike[str], rate: int) -> None:
        self.folder = Path(folder)
        self._rate = rate
        self._phrases = _listed(self.folder / "phrases")
        self._words = _listed(self.folder / "words")
        self._names = _listed(self.folder / "names")
        self._read: dict[Path, np.ndarray] = {}

    def __bool__(self) -> bool:
        """Whether anything is recorded."""
        return bool(self._phrases or self._words or self._names)

    @property
    def phrase_names(self) -> tuple[str, ...]:
        """Names of the files in ``phrases/``, without their endings."""
        return tuple(self._phrases)

    def phrase(self, slot: str | None) -> np.ndarray | None:
        """The recording of a stretch of text, or None.  SayitError for a file that cannot be read."""
        return self._sound(self._phrases.get(slot)) if slot else None

    def name(self, child: str) -> np.ndarray | None:
        """The recording of a child's name, or None.  SayitError for a file that cannot be read."""
        return self._sound(self._names.get(name_file(child)))

    def words(self, words: str) -> list[list[np.ndarray]] | None:
        """The recordings that make up number words, a list for each word, or None if one is lacking.

        "four-ten" is one recording of that name where there is one, else "four"
        and "ten".
        """
        found: list[list[np.ndarray]] = []
        for word in words.lower().split():
            names = [word] if word in self._words else word.split("-")
            sounds = [sound for name in names if (sound := self._sound(self._words.get(name))) is not None]
            if len(sounds) < len(names):
                return None
            found.append(sounds)
        return found or None

    def missing_words(self) -> tuple[str, ...]:
        """Number words still to be recorded before any number is said in the parent's voice."""
        return tuple(word for word in NUMBER_WORDS if word not in self._words)

    def strays(self, slots: Iterable[str]) -> tuple[str, ...]:
        """One line for each file in ``phrases/`` whose name belongs to no phrase of the bank."""
        slots = list(slots)
        lines = []
        for name, path in self._phrases.items():
            if name not in slots:
                lines.append(f"{path} belongs to no phrase and is not used. {_instead(name, slots, path.suffix)}")
        return tuple(lines)

    def _sound(self, path: Path | None) -> np.ndarray | None:
        if path is None:
            return None
        if path not in self._read:
            sound = load(path, self._rate)
            if not np.abs(sound).max() > 0:
                raise SayitError(f"{path} holds only silence: record it again, or take it away.")
            self._read[path] = sound
        return self._read[path]


def name_file(child: str) -> str:
    """The file's name, without its ending, of the recording of a child's name: fit for every disk, whatever the name is.

    >>> name_file("Pip") == name_file("PIP") != name_file("Wren")
    True
    """
    return sha256(unicodedata.normalize("NFC", child.strip()).casefold().encode()).hexdigest()[:16]


def recorded(kind: str, name: str) -> Path:
    """Where the recording of that ``kind`` ("words", "names" or "phrases") and file name lies in the prompts folder."""
    from sayit import paths

    return paths.prompts() / "recorded" / kind / f"{name}.wav"


def forget(path: Path) -> None:
    """Delete a recording, so that the machine's voice says it again; ``SayitError`` where that cannot be."""
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise SayitError(f"{path} cannot be deleted ({error.strerror}): check who may write there.") from error


def forget_name(child: str) -> None:
    """Delete the recording of a child's name; ``SayitError`` where that cannot be."""
    forget(recorded("names", name_file(child)))


def open_recordings(rate: int, folder: str | os.PathLike[str] | None = None) -> Recordings:
    """The parent's recordings at ``rate`` Hz, by default those in the prompts folder; may be empty."""
    if folder is None:
        from sayit import paths

        folder = paths.prompts() / "recorded"
    return Recordings(folder, rate)


def _instead(name: str, slots: list[str], ending: str) -> str:
    """What to do about a recording whose name belongs to no phrase."""
    for former, now in RENAMED.items():
        if now and (match := re.fullmatch(rf"{former}(-\d+[a-z]?)", name)) and now + match[1] in slots:
            return f"Its phrase has another name now: call it {now}{match[1]}{ending}."
    near = get_close_matches(name, slots, n=1)
    return f"Did you mean {near[0]}{ending}?" if near else "See the list in prompts/README.md."


def _listed(folder: Path) -> dict[str, Path]:
    if not folder.is_dir():
        return {}
    return {
        path.stem.lower(): path
        for path in sorted(folder.iterdir(), reverse=True)
        if path.suffix.lower() in _ENDINGS and path.is_file()
    }
