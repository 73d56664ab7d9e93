"""The parent's own voice: which number words, names and phrases can be recorded, and keeping them."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from sayit.errors import SayitError
from sayit.hearing.endpoint import EndRule
from sayit.numbers import NUMBER_WORDS
from sayit.page.backstage import Backstage
from sayit.page.screen import wav
from sayit.page.senses import PageVoice
from sayit.sound.audio import RATE, save
from sayit.speaking.phrases import open_bank
from sayit.speaking.recordings import forget, name_file, recorded
from sayit.speaking.utterance import number, text

__all__ = ["OwnVoice", "Slot", "keep", "read", "slot", "slots"]


@dataclass(frozen=True, slots=True)
class Slot:
    """Something to record: ``kind`` is "words", "names" (of children) or "phrases", ``name`` that of its file, ``words`` what to say."""

    kind: str
    name: str
    words: str

    @property
    def path(self) -> Path:
        return recorded(self.kind, self.name)

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return asdict(self) | {"recorded": self.path.is_file()}


def slots(children: Sequence[str] = ()) -> tuple[Slot, ...]:
    """All that can be recorded where these children are: the number words first, since no number is said in the parent's voice before all are there."""
    phrases = open_bank().slots().items()
    return (
        *(Slot("words", word, word) for word in NUMBER_WORDS),
        *(Slot("names", name_file(child), child) for child in children),
        *(Slot("phrases", name, words) for name, words in phrases),
    )


def slot(kind: Any, name: Any, children: Sequence[str] = ()) -> Slot:
    """The slot of that name; ``SayitError`` where there is none."""
    for one in slots(children):
        if (one.kind, one.name) == (kind, name):
            return one
    raise SayitError("There is nothing of that name to record: reload the page.")


def read(kind: Any, name: Any, children: Sequence[str] = ()) -> bytes | None:
    """The recording in the slot of that name, a WAV file, or None where there is none; ``SayitError`` for no slot."""
    path = slot(kind, name, children).path
    return path.read_bytes() if path.is_file() else None


def keep(wanted: Slot, samples: np.ndarray) -> None:
    """Write a recording (float32 mono, 16 kHz) in its place; one that was there stays until the new one is whole."""
    path = wanted.path
    making = path.with_name(f".{path.stem}.making.wav")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        save(samples, making)
        making.replace(path)
    except OSError as error:
        raise SayitError(
            f"The recording cannot be kept in {path.parent} ({error.strerror}): free some space there."
        ) from error


_RULE = EndRule(patience=6.0, quiet=1.0, longest=12.0, before=0.2, after=0.2)


class OwnVoice:
    """The commands by which a parent records number words, names and phrases, one after the other.

    A take is held in memory until the parent keeps it.
    """

    def __init__(self, stage: Backstage) -> None:
        self._stage = stage
        self._taken: tuple[Slot, np.ndarray] | None = None
        self.commands = {
            "slots": self.tell,
            "record": self.record,
            "keep-take": self.keep_take,
            "drop-take": self.drop_take,
            "unrecord": self.unrecord,
        }

    def tell(self, message: dict[str, Any]) -> None:
        """Tell the desks what can be recorded and what is."""
        self._stage.tell_desks({"slots": [one.to_dict() for one in slots(self._children)]})

    def record(self, message: dict[str, Any]) -> None:
        """Say one of them and record it; with ``keep`` the take before it is kept first, else it is gone."""
        wanted = slot(message.get("slot_kind"), message.get("name"), self._children)
        self._stage.free()
        if message.get("keep"):
            self._keep()
        self._drop()
        self._stage.board.change(test={"state": "listening", "own": wanted.words, "says": True})
        self._stage.work("own voice", lambda: self._take(wanted))

    def keep_take(self, message: dict[str, Any]) -> None:
        """Keep what was said last, and end there."""
        words = self._keep()
        self._drop()
        self._stage.board.change(test={"state": "own", "text": f"Kept: “{words}”."})

    def drop_take(self, message: dict[str, Any]) -> None:
        """End without keeping what was said last."""
        self._drop()
        self._stage.board.change(test={"state": "own", "text": "Nothing more was kept."})

    def unrecord(self, message: dict[str, Any]) -> None:
        """Take one away again."""
        forget(slot(message.get("slot_kind"), message.get("name"), self._children).path)
        self.tell(message)

    @property
    def _children(self) -> tuple[str, ...]:
        return self._stage.board.state.children

    def _keep(self) -> str:
        if self._taken is None:
            raise SayitError("There is nothing to keep: say it first.")
        wanted, samples = self._taken
        # The child may be gone meanwhile.
        keep(slot(wanted.kind, wanted.name, self._children), samples)
        self.tell({})
        return wanted.words

    def _drop(self) -> None:
        self._taken = self._stage.recorded = None

    def _take(self, wanted: Slot) -> None:
        stage = self._stage
        voice = PageVoice(lambda: stage.board.settings, stage.device if stage.on_page else None, lambda: False)
        found = {"state": "own"}
        try:
            voice.say(number(wanted.words) if wanted.kind == "words" else text(wanted.words))
            stage.board.change(test={"state": "listening", "own": wanted.words})
            take = stage.listen_once(_RULE)
            if take.voiced:
                self._taken = (wanted, take.samples)
                stage.recorded = wav(take.samples, RATE)
                found |= {"text": f"That was “{wanted.words}”.", "sound": f"/test.wav?{time.monotonic_ns()}"}
            else:
                found["text"] = "No voice was heard. Try again, a little nearer."
        except SayitError as error:
            found["text"] = str(error)
        stage.board.change(test=found)
