"""A sitting: turn after turn until the time, the questions or the parent end it."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sayit.loop.ears import Ears
from sayit.loop.events import Event, Notice
from sayit.loop.turn import Parts, Turn, take_turn
from sayit.practice.question import Question, said
from sayit.store import Answer

REST_MINUTES = 15.0
"""After how long a rest is suggested (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Finished(Event):
    """The sitting is over. ``answers`` are all that were judged, ``why`` is "asked", "time", "stopped" or "no-more"."""

    answers: tuple[Answer, ...]
    minutes: float
    why: str

    def counts(self) -> dict[str, int]:
        """How many answers came to each verdict that counts; those set aside as "set-aside"."""
        return dict(Counter(answer.final or "set-aside" for answer in self.answers))

    def to_dict(self) -> dict[str, Any]:
        return {
            "event": "finished",
            "why": self.why,
            "minutes": round(self.minutes, 2),
            "answers": len(self.answers),
            "verdicts": self.counts(),
        }


def sit(
    parts: Parts,
    *,
    minutes: float,
    questions: int | None = None,
    reopen: Callable[[], Ears | None] = lambda: None,
    take: Callable[[Parts, Question, int, Answer | None], Turn] = take_turn,
) -> Finished:
    """Greet, take turns, say goodbye; ``take`` plays each turn.

    No new question begins after ``minutes`` or after ``questions`` of them.
    ``reopen`` is tried before each question while there are no ears, so that a
    microphone that was plugged in again is used again.
    """
    began = parts.now()
    rest_hinted = False
    asked, attempt, why = 0, 0, "no-more"
    last, before = None, None
    parts.speaker.say((said("session.hello"),))
    try:
        while question := parts.guide.next_question(parts.now()):
            attempt = attempt + 1 if question is last else 1
            spent = _minutes(began, parts.now())
            if attempt == 1:
                if spent >= minutes:
                    why = "time"
                    break
                if questions is not None and asked >= questions:
                    why = "asked"
                    break
                asked += 1
            if spent >= REST_MINUTES and not rest_hinted:
                rest_hinted = True
                parts.report(Notice("rest", "A quarter of an hour is over: a rest now does more than another question."))
            if parts.ears is None and (found := reopen()):
                parts.ears = found
                parts.report(Notice("microphone-back", "The microphone is back."))
            turn = take(parts, question, attempt, before)
            last, before = question, turn.answer
            if turn.stopped:
                why = "stopped"
                break
        parts.speaker.say((said("session.goodbye"),))
    finally:
        # Also on Ctrl-C: what was judged is kept, and the sitting has its end.
        now = parts.now()
        parts.record.end_session(parts.session, at=now)
        finished = Finished(
            parts.record.answers(session=parts.session), _minutes(began, now), why
        )
    parts.report(finished)
    return finished


def _minutes(since: datetime, now: datetime) -> float:
    return (now - since).total_seconds() / 60
