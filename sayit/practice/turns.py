"""Two or three children of different steps in one sitting, taking turns."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sayit.practice.learner import Learner
from sayit.practice.question import Answer, Question
from sayit.practice.session import Outcome, Session, start_session

MOST_CHILDREN = 3
IN_A_ROW = 3
"""After so many questions the turn passes on, even in the middle of a detour."""


@dataclass(frozen=True, slots=True)
class Turn:
    """Whose turn it is (``child`` counts from 0), the question, and whether the turn has just passed on."""

    child: int
    question: Question
    passed: bool


class Sitting:
    """Children in turn, each with its own ``Session``. Made by ``start_sitting``."""

    def __init__(self, sessions: Sequence[Session]) -> None:
        self.sessions = tuple(sessions)
        self._child = len(sessions) - 1
        self._row = 0
        self._open: Turn | None = None

    @property
    def over(self) -> bool:
        """Whether nobody has a question left."""
        return all(session.over for session in self.sessions)

    def next_turn(self, now: datetime) -> Turn | None:
        """Who is asked what now, or None when all are done.

        A child keeps the turn through the detour after a miss, because the answer just
        said is still in its ear, but never for more than three questions.
        """
        if self._open:
            return self._open
        for offset in range(len(self.sessions)):
            keeps = offset == 0 and self._stays()
            child = self._child if keeps else (self._child + 1) % len(self.sessions)
            passed = child != self._child or self._row == 0
            self._row = self._row + 1 if child == self._child and self._row else 1
            self._child = child
            question = self.sessions[child].next_question(now)
            if question is not None:
                self._open = Turn(child, question, passed)
                return self._open
            self._row = IN_A_ROW
        return None

    def take(self, answer: Answer, now: datetime) -> Outcome:
        """Take the answer of the child whose turn it is."""
        if self._open is None:
            raise ValueError("no question is open: call next_turn first")
        child = self._open.child
        outcome = self.sessions[child].take(answer, now)
        self._open = None
        return outcome

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """Correct the last answer, as ``Session.override`` does; "again" gives the turn back."""
        self._open = None
        return self.sessions[self._child].override(verdict, now)

    def _stays(self) -> bool:
        return 0 < self._row < IN_A_ROW and self.sessions[self._child].in_detour


def start_sitting(
    learners: Sequence[Learner], now: datetime, *, seed: int, minutes: float = 10.0
) -> Sitting:
    """Begin a sitting of one to three children; ``minutes`` are for all together. ValueError for more children."""
    if not 1 <= len(learners) <= MOST_CHILDREN:
        raise ValueError(f"a sitting is for 1 to {MOST_CHILDREN} children")
    return Sitting(
        [start_session(learner, now, seed=seed + place, minutes=minutes) for place, learner in enumerate(learners)]
    )
