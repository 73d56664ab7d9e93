"""Voices that come with the tool: numbers and phrases, spoken once by a good voice and put together from whole pieces.

A pack is a folder: ``index.json`` names its clips in order, ``clips.zip`` holds them as ``0000.ogg`` and so on (Ogg
Opus, 24 kHz).  A clip is called by its words and how they end: "forty-five." falls, "forty-five," goes on.
``prompts/recipe/README.md`` tells how packs are made and checked.
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Literal

import numpy as np

from sayit.errors import SayitError
from sayit.sound.audio import resample
from sayit.speaking.stretching import stretched

__all__ = ["Clip", "Pack", "clips_of", "open_pack", "packs"]

After = Literal["", "joint", "thousand", "digit"]
Clip = tuple[str, After]
"""A clip's name and what parts it from the next."""

_KEPT = 64
"""Clips that are kept decoded: some 7 MB."""

_DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


class Pack:
    """One voice's clips at a speed, read from the disk as they are needed and kept for a while."""

    def __init__(self, folder: Path, rate: int, speed: float = 1.0) -> None:
        """Raises SayitError, one line, for a folder that cannot be read."""
        # Loaded beside the greeting, and not when the first sound is waited for.
        import soundfile  # noqa: F401

        try:
            index = json.loads((folder / "index.json").read_text(encoding="utf-8"))
            self.name = str(index["name"])
            self.level = float(index["level"])
            self._clips = {str(name): place for place, name in enumerate(index["clips"])}
            self._sounds = zipfile.ZipFile(folder / "clips.zip")
        except (OSError, ValueError, KeyError, TypeError, zipfile.BadZipFile) as error:
            raise SayitError(
                f"The voice in {folder} cannot be read: install sayit again, or delete the folder."
            ) from error
        self._rate, self._speed = rate, speed
        self.clip = lru_cache(maxsize=_KEPT)(self._read)

    def __contains__(self, name: str) -> bool:
        return name in self._clips

    def number(self, words: str, *, falls: bool) -> list[Clip] | None:
        """The clips that say number words, or None where one is lacking; ``falls`` where a sentence ends with them."""
        found = clips_of(words, falls=falls)
        return found if found and all(name in self for name, _ in found) else None

    def _read(self, name: str) -> np.ndarray:
        import soundfile

        place = self._clips[name]
        try:
            samples, rate = soundfile.read(io.BytesIO(self._sounds.read(f"{place:04}.ogg")), dtype="float32")
        except (OSError, KeyError, RuntimeError, zipfile.BadZipFile) as error:
            raise SayitError(f"The voice {self.name!r} is damaged: install sayit again.") from error
        made = stretched(resample(samples, rate, self._rate), self._rate, self._speed)
        made.setflags(write=False)
        return made


def packs() -> dict[str, Path]:
    """Folders of the voices that come with the tool, by name."""
    from sayit import paths

    folder = paths.voices()
    found = sorted(folder.iterdir(), reverse=True) if folder.is_dir() else ()
    return {path.name.capitalize(): path for path in found if (path / "index.json").is_file()}


def open_pack(wanted: str | None, rate: int, speed: float = 1.0) -> Pack | None:
    """The voice that ``wanted`` names, the first where it is None; None where no voice is called so."""
    held = packs()
    if not wanted:
        return Pack(next(iter(held.values())), rate, speed) if held else None
    path = {name.lower(): path for name, path in held.items()}.get(wanted.lower())
    return Pack(path, rate, speed) if path else None


def clips_of(words: str, *, falls: bool) -> list[Clip] | None:
    """Names of the clips that say a number's name in either form, or its digits one by one; None for other words.

    >>> clips_of("three hundred four-ten five thousand and three-ten", falls=True)
    [('three hundred,', 'joint'), ('four-ten,', 'joint'), ('five thousand,', 'thousand'), ('and three-ten.', '')]
    """
    said = words.lower().replace(",", " ").split()
    if not said:
        return None
    if len(said) > 1 and all(word in _DIGITS for word in said):
        return [(f"{word},", "digit") for word in said[:-1]] + [(said[-1] + ".,"[not falls], "")]
    explicit = any(word.endswith("-ten") for word in said)
    head, tail = ([], said) if "thousand" not in said else _parted(said, "thousand")
    found = [*_below_thousand(head, " thousand"), *_below_thousand(tail, "")]
    gaps: list[After] = [
        "thousand" if clip.endswith("thousand") else "joint" if explicit else "" for clip in found[:-1]
    ]
    return [(f"{clip},", gap) for clip, gap in zip(found, gaps, strict=False)] + [(found[-1] + ".,"[not falls], "")]


def _parted(said: list[str], word: str) -> tuple[list[str], list[str]]:
    place = said.index(word)
    return said[:place], said[place + 1 :]


def _below_thousand(said: Sequence[str], unit: str) -> list[str]:
    """Clips for the words of 1 to 999 (perhaps with a leading "and"), the last with ``unit``."""
    found: list[str] = []
    rest = list(said)
    if "hundred" in rest:
        before, rest = _parted(rest, "hundred")
        found.append(" ".join([*before, "hundred"]))
    link = "and " if rest[:1] == ["and"] else ""
    rest = rest[1:] if link else rest
    if len(rest) > 1 and rest[0].endswith("-ten"):
        found.append(link + rest[0])
        link, rest = "", rest[1:]
    if rest:
        found.append(link + " ".join(rest))
    if found:
        found[-1] += unit
    return found
