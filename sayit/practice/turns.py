"""Two or three children of different steps in one sitting, taking turns."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sayit.practice.learner import Learner
from sayit.practice.question import Question, Response
from sayit.practice.replies import Outcome
from sayit.practice.session import Session, start_session

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
        self._asked = [0] * len(sessions)
        self._open: Turn | None = None
        self._answered: int | None = None

    @property
    def over(self) -> bool:
        """Whether nobody has a question left."""
        return all(session.over for session in self.sessions)

    def next_turn(self, now: datetime) -> Turn | None:
        """Who is asked what now, or None when all are done.

        The turn goes to the child who was asked least so far. A child keeps it through the detour
        after a miss, because the answer just said is still in its ear, but never for more
        than three questions.
        """
        if self._open is None:
            for child in self._order():
                if question := self.sessions[child].next_question(now):
                    self._open = self._turn(child, question)
                    break
        return self._open

    def _order(self) -> list[int]:
        count = len(self.sessions)
        order = sorted(range(count), key=lambda child: (self._asked[child], (child - self._child - 1) % count))
        if self._stays():
            order.remove(self._child)
            order.insert(0, self._child)
        return order

    def _turn(self, child: int, question: Question) -> Turn:
        passed = child != self._child or not self._row
        self._row = 1 if passed else self._row + 1
        self._child = child
        self._asked[child] += 1
        return Turn(child, question, passed)

    def take(self, answer: Response, now: datetime) -> Outcome:
        """Take the answer of the child whose turn it is."""
        if self._open is None:
            raise ValueError("no question is open: call next_turn first")
        child = self._open.child
        outcome = self.sessions[child].take(answer, now)
        self._open, self._answered = None, child
        return outcome

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """Correct the last answer, as ``Session.override`` does; "again" gives that child the turn back."""
        if self._answered is None:
            raise ValueError("there is no answer to correct")
        child = self._answered
        outcome = self.sessions[child].override(verdict, now)
        if verdict == "again":
            self._open = self._turn(child, self.sessions[child].next_question(now))
        elif self._open and self._open.child == child:
            # The correction may have changed what comes next.
            self._open = None
        return outcome

    def skip(self, now: datetime) -> None:
        """Leave the open question without an answer."""
        if self._open:
            self.sessions[self._open.child].skip(now)
            self._open = None

    def _stays(self) -> bool:
        return 0 < self._row < IN_A_ROW and self.sessions[self._child].in_detour


def start_sitting(learners: Sequence[Learner], now: datetime, *, seed: int, minutes: float = 10.0) -> Sitting:
    """Begin a sitting of one to three children; ``minutes`` are for all together. ValueError for more children."""
    if not 1 <= len(learners) <= MOST_CHILDREN:
        raise ValueError(f"a sitting is for 1 to {MOST_CHILDREN} children")
    return Sitting(
        [start_session(learner, now, seed=seed + place, minutes=minutes) for place, learner in enumerate(learners)]
    )
