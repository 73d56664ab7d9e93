"""A sitting: turn after turn until the practice, the time, the questions or the parent end it."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sayit.errors import SayitError
from sayit.practice.question import Question, said
from sayit.sitting.ears import Ears
from sayit.sitting.events import Aimed, Event, Notice, TurnOf
from sayit.sitting.planned import Led, met_in_words
from sayit.sitting.turn import Parts, Seat, Turn, take_turn
from sayit.store import Answer, delete_expired

REST_MINUTES = 15.0
"""After how long a rest is suggested (common practice, no source)."""

GRACE_MINUTES = 2.0
"""How much longer than its minutes a sitting may last that the practice ends itself, after its closing questions."""


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
        return dict(Counter(answer.final or "set-aside" for answer in self.answers))

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
        return dict(Counter(answer.final or "set-aside" for answer in self.answers))

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


def sit(
    parts: Parts,
    *,
    minutes: float,
    questions: int | None = None,
    reopen: Callable[[], Ears | None] = lambda: None,
    take: Callable[[Parts, Question, int, Answer | None], Turn] = take_turn,
) -> Finished:
    """Greet, take turns, say goodbye; ``take`` plays each turn.

    No new question begins after ``minutes`` or after ``questions`` of them; a guide that ends the
    sitting itself (``Led``) has two minutes more for its closing questions.
    ``reopen`` is tried before each question while there are no ears, so that a
    microphone that was plugged in again is used again. Recordings past their day limit are deleted first.
    """
    began = parts.now()
    led = parts.guide if isinstance(parts.guide, Led) else None
    seats = parts.seats or (Seat("", parts.session, parts.speaker),)
    latest = minutes + GRACE_MINUTES if led else minutes
    host, sitting = parts.speaker, None
    rest_hinted = False
    asked, attempt, why = 0, 0, "no-more"
    last, before = None, None
    try:
        _tidy(parts, began)
        for seat, aim in zip(seats, led.aims() if led else ()):
            parts.report(Aimed(seat.child, aim.sentence, aim.why))
        parts.speaker.say((said("session.hello"),))
        while question := parts.guide.next_question(parts.now()):
            attempt = attempt + 1 if question is last else 1
            spent = _minutes(began, parts.now())
            if attempt == 1:
                if spent >= latest:
                    why = "time"
                    break
                if questions is not None and asked >= questions:
                    why = "asked"
                    break
                asked += 1
            if spent >= REST_MINUTES and not rest_hinted:
                rest_hinted = True
                parts.report(
                    Notice("rest", "A quarter of an hour is over: a rest now does more than another question.")
                )
            if parts.ears is None and (found := reopen()):
                parts.ears = found
                parts.report(Notice("microphone-back", "The microphone is back."))
            if led and len(seats) > 1 and sitting is not seats[led.whose]:
                sitting = seats[led.whose]
                parts.session, parts.speaker = sitting.session, sitting.speaker
                parts.report(TurnOf(sitting.child))
                parts.speaker.say((said("your-turn"),))
            turn = take(parts, question, attempt, before)
            last, before = question, turn.answer
            if turn.stopped:
                why = "stopped"
                break
        parts.speaker = host
        parts.speaker.say((said("session.goodbye"),))
    finally:
        # Also on Ctrl-C: what was judged is kept, and the sitting has its end.
        finished = _end(parts, seats, led, began, why)
    parts.report(finished)
    return finished


def _tidy(parts: Parts, now: datetime) -> None:
    try:
        delete_expired(parts.record, now)
    except SayitError as error:
        parts.report(Notice("not-deleted", str(error)))


def _end(parts: Parts, seats: tuple[Seat, ...], led: Led | None, began: datetime, why: str) -> Finished:
    now = parts.now()
    results = led.results() if led else ()
    shares = []
    for place, seat in enumerate(seats):
        result = results[place] if place < len(results) else None
        parts.record.end_session(seat.session, at=now, aim_met=result and result.met)
        answers = parts.record.answers(session=seat.session)
        shares.append(
            Share(seat.child, answers, result.aim.sentence, result.met, result.because)
            if result
            else Share(seat.child, answers)
        )
    told = sorted((answer for share in shares for answer in share.answers), key=lambda answer: answer.id or 0)
    return Finished(tuple(told), _minutes(began, now), why, tuple(shares))


def _minutes(since: datetime, now: datetime) -> float:
    return (now - since).total_seconds() / 60
