"""A sitting on the page: as in the terminal, and with turns for the hands too."""

from __future__ import annotations

import queue
from collections.abc import Callable

from sayit.practice.question import Question
from sayit.sitting import sit as sitting
from sayit.sitting.ears import Ears
from sayit.sitting.parent import Choice
from sayit.sitting.placing import Hands, take_placed_turn
from sayit.sitting.sit import Finished
from sayit.sitting.turn import Parts, Turn, take_turn
from sayit.store import Answer

__all__ = ["DeskParent", "sit"]

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

    def take(parts: Parts, question: Question, attempt: int, before: Answer | None) -> Turn:
        opening(question, attempt)
        if question.way == "spoken":
            return take_turn(parts, question, attempt, before)
        return take_placed_turn(parts, hands, question, attempt, before)

    return sitting.sit(parts, minutes=minutes, reopen=reopen, take=take)
