"""What is to be said: plain text, and numbers whose parts must be heard apart."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Literal

__all__ = ["Group", "Part", "Piece", "Utterance", "cut_at_name", "groups", "number", "text"]

Kind = Literal["text", "number"]
Pause = Literal["joint", "thousand"]

_STOPS = ".!?"
_BREATHS = ",;:"
_TENS_END = "-ten"


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of one kind.

    ``slot`` is the name, without folder and ending, of the recording that may
    stand in for a stretch of text.  ``mark`` is the punctuation that follows a
    number: it sets the melody of the last word and the pause after it.  ``name`` is
    the child's name where it stands in the words.
    """

    words: str
    kind: Kind = "text"
    slot: str | None = None
    mark: str = ""
    name: str = ""

    @property
    def ends(self) -> Literal["stop", "breath", ""]:
        """How the piece ends: with a full stop or the like, with a comma or the like, or running on."""
        last = (self.words + self.mark).rstrip()[-1:]
        return "stop" if last in _STOPS and last else "breath" if last in _BREATHS and last else ""


@dataclass(frozen=True, slots=True)
class Utterance:
    """What is said in one go: ``text`` as a screen shows it, ``pieces`` as a voice says it."""

    text: str
    pieces: tuple[Piece, ...]

    @property
    def masked(self) -> str:
        """The text without its numbers."""
        text = self.text
        for piece in self.pieces:
            if piece.kind == "number":
                text = text.replace(piece.words, "…", 1)
        return text


@dataclass(frozen=True, slots=True)
class Group:
    """Words of a number said in one breath, and the pause that comes before the next."""

    words: str
    pause: Pause | None


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a number that is said in one breath ("three hundred", "four-ten"); seconds from the first sample on."""

    words: str
    start: float
    end: float

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return {"words": self.words, "start": round(self.start, 3), "end": round(self.end, 3)}


def text(words: str, slot: str | None = None) -> Utterance:
    """An utterance of plain text."""
    return Utterance(words, (Piece(words, slot=slot),))


def number(name: str, mark: str = ".") -> Utterance:
    """An utterance that is one number's name, in either form ("four-ten five", "forty-five")."""
    return Utterance(name, (Piece(name, "number", mark=mark),))


def cut_at_name(piece: Piece) -> tuple[Piece, ...]:
    """A stretch with the child's name, cut so that the name is a piece of its own with what follows it as its mark.

    >>> [part.words + part.mark for part in cut_at_name(Piece("Hi, Pip! Shall we?", name="Pip"))]
    ['Hi,', 'Pip!', 'Shall we?']
    """
    name = re.escape(piece.name)
    found = re.search(rf"(?:(?<!\w){name}(?!\w)|{name})([.!?,;:]*)", piece.words)
    if not found:
        return (piece,)
    before, after = Piece(piece.words[: found.start()].strip()), Piece(piece.words[found.end() :].strip())
    own = Piece(piece.name, mark=found[1], name=piece.name)
    return tuple(part for part in (before, own, after) if part.words)


def groups(name: str) -> tuple[Group, ...]:
    """Split a number's name where a listener must hear one part end and the next begin.

    "four-ten five" is ``four-ten | five`` and "three hundred four-ten five
    thousand three-ten" is ``three hundred | four-ten | five thousand || three-ten``:
    after "thousand" the pause is the longer one, so that what it counts stays
    together.  An everyday name is parted after "thousand" only: "forty-five" has no
    joint to show, and "hundred and" would fall apart.
    """
    words = name.replace(",", " ").split()
    explicit = any(word.endswith(_TENS_END) for word in words)
    found: list[Group] = []
    breath: list[str] = []
    for word, after in zip(words, [*words[1:], None], strict=True):
        breath.append(word)
        if after is None:
            found.append(Group(" ".join(breath), None))
        elif word == "thousand":
            found.append(Group(" ".join(breath), "thousand"))
            breath = []
        elif explicit and after not in ("hundred", "thousand") and (word == "hundred" or word.endswith(_TENS_END)):
            found.append(Group(" ".join(breath), "joint"))
            breath = []
    return tuple(found)
