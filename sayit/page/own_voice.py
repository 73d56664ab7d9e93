"""The parent's own voice: which phrases and number words can be recorded, and keeping them."""

from __future__ import annotations

import os
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from sayit import paths
from sayit.errors import SayitError
from sayit.sound.audio import save
from sayit.speaking.phrases import open_bank
from sayit.speaking.recordings import NUMBER_WORDS

__all__ = ["Slot", "forget", "keep", "slot", "slots"]


@dataclass(frozen=True, slots=True)
class Slot:
    """Something to record: ``kind`` is "phrases" or "words", ``name`` that of its file, ``words`` what to say."""

    kind: str
    name: str
    words: str

    @property
    def path(self) -> Path:
        return paths.prompts() / "recorded" / self.kind / f"{self.name}.wav"

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return asdict(self) | {"recorded": self.path.is_file()}


def slots() -> tuple[Slot, ...]:
    """All that can be recorded: the number words first, since no number is said in the parent's voice before all are there."""
    phrases = open_bank().slots().items()
    return (
        *(Slot("words", word, word) for word in NUMBER_WORDS),
        *(Slot("phrases", name, words) for name, words in phrases),
    )


def slot(kind: Any, name: Any) -> Slot:
    """The slot of that name; ``SayitError`` where there is none."""
    for one in slots():
        if (one.kind, one.name) == (kind, name):
            return one
    raise SayitError("There is nothing of that name to record: reload the page.")


def keep(wanted: Slot, samples: np.ndarray) -> None:
    """Write a recording (float32 mono, 16 kHz) in its place; one that was there stays until the new one is whole."""
    path = wanted.path
    making = path.with_name(f".{path.stem}.making.wav")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        save(samples, making)
        os.replace(making, path)
    except OSError as error:
        raise SayitError(
            f"The recording cannot be kept in {path.parent} ({error.strerror}): free some space there."
        ) from error


def forget(wanted: Slot) -> None:
    """Take a recording away, so that the machine's voice says it again."""
    try:
        wanted.path.unlink(missing_ok=True)
    except OSError as error:
        raise SayitError(f"{wanted.path} cannot be deleted ({error.strerror}): check who may write there.") from error
