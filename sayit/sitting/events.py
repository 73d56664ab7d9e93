"""What a turn reports while it goes on, for whatever shows it: a terminal, a page, a log."""

from collections import Counter
from dataclasses import dataclass
from typing import Any

from sayit.numbers import Judgement
from sayit.practice.guide import met_in_words
from sayit.practice.question import Question
from sayit.speaking.utterance import Part
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
    """``words`` are about to be said aloud (or, with ``aloud`` False, only shown); ``masked`` are they without their numbers."""

    words: str
    aloud: bool
    masked: str = ""

    def to_dict(self) -> dict[str, Any]:
        return {"event": "speaking", "words": self.words, "aloud": self.aloud}


@dataclass(frozen=True, slots=True)
class Sounding(Event):
    """The sound begins: when each of ``parts``, those of its numbers in order, will be heard from now on."""

    parts: tuple[Part, ...]

    def to_dict(self) -> dict[str, Any]:
        return {"event": "sounding", "parts": [part.to_dict() for part in self.parts]}


@dataclass(frozen=True, slots=True)
class Opened(Event):
    """Try number ``attempt`` (from 1) of a question is about to be said; nothing of it was said yet."""

    question: Question
    attempt: int

    def to_dict(self) -> dict[str, Any]:
        return {"event": "opened", "question": self.question.key, "attempt": self.attempt}


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
class Growing(Event):
    """What was heard so far while the child speaks: a number, or None for none."""

    value: int | None

    def to_dict(self) -> dict[str, Any]:
        return {"event": "growing", "value": self.value}


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


@dataclass(frozen=True, slots=True)
class Share:
    """One child's part in a sitting that is over.

    ``aim`` is the sentence that it was for, ``met`` how that went ("met", "nearly", "not yet", "not asked"),
    ``because`` why the practice ended it ("" where it did not). All three are "" without a plan.
    """

    child: str
    answers: tuple[Answer, ...]
    aim: str = ""
    met: str = ""
    because: str = ""

    def counts(self) -> dict[str, int]:
        """How many answers came to each verdict that counts; those set aside as "set-aside"."""
        return _counts(self.answers)

    @property
    def told(self) -> str:
        """How the aim was met, and why it ended early where it did, for the parent; "" without a plan."""
        if not self.met:
            return ""
        early = self.because.removeprefix("tiring: ") if self.because != "the time is up" else ""
        return f"It ended early: {early}. {met_in_words(self.met)}" if early else met_in_words(self.met)


@dataclass(frozen=True, slots=True)
class Finished(Event):
    """The sitting is over. ``answers`` are all that were judged, ``why`` is "asked", "time", "stopped" or "no-more".

    ``shares`` are the children's parts, in the order of their seats.
    """

    answers: tuple[Answer, ...]
    minutes: float
    why: str
    shares: tuple[Share, ...] = ()

    def counts(self) -> dict[str, int]:
        """How many answers came to each verdict that counts; those set aside as "set-aside"."""
        return _counts(self.answers)

    def to_dict(self) -> dict[str, Any]:
        return {
            "event": "finished",
            "why": self.why,
            "minutes": round(self.minutes, 2),
            "answers": len(self.answers),
            "verdicts": self.counts(),
            "children": [
                {
                    "child": share.child,
                    "answers": len(share.answers),
                    "verdicts": share.counts(),
                    "aim": share.aim,
                    "aim_met": share.met,
                    "because": share.because,
                }
                for share in self.shares
            ],
        }


def _counts(answers: tuple[Answer, ...]) -> dict[str, int]:
    return dict(Counter(answer.final or "set-aside" for answer in answers))


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
