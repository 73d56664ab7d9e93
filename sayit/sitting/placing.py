"""A turn in which the child's hands answer: digits put down, or one of two numbers touched."""

from __future__ import annotations

import queue
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from sayit.practice.question import Question, Response
from sayit.sitting.events import Listening, ParentNeeded
from sayit.sitting.parent import Choice
from sayit.sitting.turn import WAIT_FOR_PARENT, Parts, Play, Turn
from sayit.store import Answer

__all__ = ["Fingers", "Hands", "Placed", "take_placed_turn"]


@dataclass(frozen=True, slots=True)
class Placed:
    """``digits`` that were put down or touched, and the ``response_seconds`` from the end of the prompt to the first of them."""

    digits: str
    response_seconds: float | None


class Fingers(Protocol):
    """Where digits come from."""

    def wait(self, interrupted: Callable[[], bool]) -> Placed | None:
        """The next complete answer from now on; None once ``interrupted()`` is true."""
        ...


class Hands:
    """What comes from the child's fingers; told by the server, waited for by the turn."""

    def __init__(self) -> None:
        self._given: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._first: float | None = None

    def touched(self) -> None:
        """A first digit was put down."""
        self._first = self._first or time.monotonic()

    def give(self, digits: str) -> None:
        """The digits are complete."""
        self.touched()
        self._given.put(digits)

    def wait(self, interrupted: Callable[[], bool]) -> Placed | None:
        """The next complete answer from now on; None once ``interrupted()`` is true."""
        began, self._first = time.monotonic(), None
        while not self._given.empty():
            self._given.get()
        while not interrupted():
            try:
                digits = self._given.get(timeout=0.05)
            except queue.Empty:
                continue
            return Placed(digits, max(0.0, self._first - began) if self._first else None)
        return None


def take_placed_turn(
    parts: Parts, hands: Fingers, question: Question, attempt: int = 1, before: Answer | None = None
) -> Turn:
    """``take_turn`` for a question whose ``way`` is "digits" or "choice"; no microphone is needed."""
    turn = _Placing(parts, question, attempt, before)
    turn.hands = hands
    choice = turn.ask()
    if choice is None and not turn.outdated:
        choice = turn.hear()
    return Turn(turn.answer, stopped=choice is Choice.STOP)


class _Placing(Play):
    hands: Fingers

    def after_reading(self) -> str:
        return "Read it aloud, then press g: the child's turn begins then."

    def hear(self) -> Choice | None:
        self.parts.report(Listening())
        placed = self.hands.wait(self.interrupted)
        if placed is None:
            return self.judged_by_parent(self.pressed[0])
        chosen = self.question.way == "choice"
        given = (
            Response(choice=int(placed.digits), response_seconds=placed.response_seconds)
            if chosen
            else Response(digits=placed.digits, response_seconds=placed.response_seconds)
        )
        outcome = self.parts.guide.take(given, self.parts.now())
        self.keep(outcome, built=None if chosen else placed.digits, response_seconds=placed.response_seconds)
        again = self.parts.guide.next_question(self.parts.now()) is self.question
        if outcome.judgement.verdict == "unclear" and not again:
            self.parts.report(ParentNeeded("It was not clear what was put down."))
            choice = self.parts.parent.decide(WAIT_FOR_PARENT)
            if choice and choice is not Choice.GO:
                return self.settle(choice)
        self.parts.speaker.say(outcome.reply)
        return None if again else self.settle(self.parts.parent.decide(self.parts.pause))
