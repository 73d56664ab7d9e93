"""What a turn reports while it goes on, for whatever shows it: a terminal, a page, a log."""

from dataclasses import dataclass
from typing import Any

from sayit.numbers import Judgement
from sayit.practice.question import Question
from sayit.store import Answer


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened."""

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON; ``event`` says which kind it is."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Aimed(Event):
    """What the sitting is for: today's ``aim`` of a child as a sentence, and ``why`` it is that. ``child`` is "" where nobody was named."""

    child: str
    aim: str
    why: str

    def to_dict(self) -> dict[str, Any]:
        return {"event": "aim", "child": self.child, "aim": self.aim, "why": self.why}


@dataclass(frozen=True, slots=True)
class TurnOf(Event):
    """In a sitting of several it is this ``child``'s turn from now on."""

    child: str

    def to_dict(self) -> dict[str, Any]:
        return {"event": "turn-of", "child": self.child}


@dataclass(frozen=True, slots=True)
class Speaking(Event):
    """``words`` are about to be said aloud (or, with ``aloud`` False, only shown)."""

    words: str
    aloud: bool

    def to_dict(self) -> dict[str, Any]:
        return {"event": "speaking", "words": self.words, "aloud": self.aloud}


@dataclass(frozen=True, slots=True)
class Asked(Event):
    """The prompt is over; try number ``attempt`` (from 1) of the question begins."""

    question: Question
    attempt: int

    def to_dict(self) -> dict[str, Any]:
        return {
            "event": "asked",
            "question": self.question.key,
            "asked": self.question.value,
            "form": self.question.form,
            "way": self.question.way,
            "attempt": self.attempt,
        }


@dataclass(frozen=True, slots=True)
class Listening(Event):
    """It is the child's turn."""

    def to_dict(self) -> dict[str, Any]:
        return {"event": "listening"}


@dataclass(frozen=True, slots=True)
class Caught(Event):
    """The answer is over and is being recognised."""

    audio_seconds: float

    def to_dict(self) -> dict[str, Any]:
        return {"event": "caught", "audio_seconds": round(self.audio_seconds, 3)}


@dataclass(frozen=True, slots=True)
class Judged(Event):
    """An answer was judged; it is in the record already."""

    answer: Answer
    judgement: Judgement

    def to_dict(self) -> dict[str, Any]:
        return {"event": "judged", **answer_dict(self.answer)}


@dataclass(frozen=True, slots=True)
class Corrected(Event):
    """The parent corrected ``answer``; the record has it."""

    answer: Answer

    def to_dict(self) -> dict[str, Any]:
        return {"event": "corrected", **answer_dict(self.answer)}


@dataclass(frozen=True, slots=True)
class Note(Event):
    """Why the practice goes on as it does after an answer: one plain sentence for the parent."""

    text: str

    def to_dict(self) -> dict[str, Any]:
        return {"event": "note", "text": self.text}


@dataclass(frozen=True, slots=True)
class ParentNeeded(Event):
    """Only the parent can say now whether it was right, or with ``verdict`` False that it goes on; ``why`` is one plain line."""

    why: str
    verdict: bool = True

    def to_dict(self) -> dict[str, Any]:
        return {"event": "parent-needed", "why": self.why, "verdict": self.verdict}


@dataclass(frozen=True, slots=True)
class Notice(Event):
    """Something the parent should know: one plain line. ``kind`` is a slug such as "microphone-lost"."""

    kind: str
    text: str

    def to_dict(self) -> dict[str, Any]:
        return {"event": "notice", "kind": self.kind, "text": self.text}


def answer_dict(answer: Answer) -> dict[str, Any]:
    """An answer of the record as plain values for JSON."""
    return {
        "id": answer.id,
        "question": answer.question,
        "asked": answer.asked,
        "form": answer.form,
        "attempt": answer.attempt,
        "heard": answer.heard,
        "built": answer.built,
        "value": answer.value,
        "verdict": answer.verdict,
        "reasons": list(answer.reasons),
        "judged_by": answer.judged_by,
        "override": answer.override,
        "confidence": _rounded(answer.confidence),
        "voice_after": _rounded(answer.response_seconds),
        "audio_seconds": _rounded(answer.audio_seconds),
        "work_seconds": _rounded(answer.work_seconds),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3)
