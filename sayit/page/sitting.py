"""A sitting on the page: as in the terminal, and with turns for the hands too."""

from __future__ import annotations

import queue
from collections.abc import Callable
from datetime import datetime

from sayit.loop.ears import Ears
from sayit.loop.events import Notice
from sayit.loop.parent import Choice
from sayit.loop.sitting import REST_MINUTES, Finished
from sayit.loop.turn import Parts, take_turn
from sayit.page.placing import Hands, take_placed_turn
from sayit.practice.question import Question, said

__all__ = ["REST", "DeskParent", "sit"]

REST = "A quarter of an hour is over: a rest now does more than another question."

_CUTS = (Choice.AGAIN, Choice.SKIP, Choice.STOP)


class DeskParent:
    """The parent at the desk: decisions arrive from the server and are waited for by the turn."""

    present = True

    def __init__(self) -> None:
        self._pressed: queue.SimpleQueue[Choice] = queue.SimpleQueue()
        self._cut = False
        self._ending = False

    def end(self) -> None:
        """The program ends: stop, and let nothing more be said."""
        self._ending = True
        self.press(Choice.STOP)

    def press(self, choice: Choice) -> None:
        self._cut = self._cut or choice in _CUTS
        self._pressed.put(choice)

    def cuts(self) -> bool:
        """Whether a decision waits that makes what is being said pointless."""
        return self._cut or self._ending

    def decide(self, seconds: float | None) -> Choice | None:
        try:
            choice = self._pressed.get(timeout=seconds) if seconds else self._pressed.get(block=seconds is None)
        except queue.Empty:
            return None
        self._cut = False
        return choice


def sit(
    parts: Parts,
    hands: Hands,
    *,
    minutes: float,
    opening: Callable[[Question, int], None],
    reopen: Callable[[], Ears | None] = lambda: None,
) -> Finished:
    """Greet, take turns, say goodbye; ``opening`` is told each question before it is said."""
    began = parts.now()
    hinted = False
    attempt, why = 0, "no-more"
    last, before = None, None
    parts.speaker.say((said("session.hello"),))
    try:
        while question := parts.guide.next_question(parts.now()):
            attempt = attempt + 1 if question is last else 1
            spent = _minutes(began, parts.now())
            if attempt == 1 and spent >= minutes:
                why = "time"
                break
            if spent >= REST_MINUTES and not hinted:
                hinted = True
                parts.report(Notice("rest", REST))
            if parts.ears is None and (found := reopen()):
                parts.ears = found
                parts.report(Notice("microphone-back", "The microphone is back."))
            opening(question, attempt)
            if question.way == "spoken":
                turn = take_turn(parts, question, attempt, before)
            else:
                turn = take_placed_turn(parts, hands, question, attempt, before)
            last, before = question, turn.answer
            if turn.stopped:
                why = "stopped"
                break
        parts.speaker.say((said("session.goodbye"),))
    finally:
        now = parts.now()
        parts.record.end_session(parts.session, at=now)
        finished = Finished(parts.record.answers(session=parts.session), _minutes(began, now), why)
    parts.report(finished)
    return finished


def _minutes(since: datetime, now: datetime) -> float:
    return (now - since).total_seconds() / 60
