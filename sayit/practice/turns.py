"""Two or three children in one sitting, taking turns."""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from sayit.practice.guide import Guide, Outcome, Result, check_correction
from sayit.practice.learner import Learner
from sayit.practice.question import Question, Response, Said
from sayit.practice.session import lead_one

MOST_CHILDREN = 3
IN_A_ROW = 3
"""After so many questions the turn passes on, even in the middle of a detour."""


class OwnGuide(Guide, Protocol):
    """The guide of one child, which knows whether its next question belongs to the last one."""

    @property
    def in_detour(self) -> bool:
        """Whether the next question belongs to the last one."""
        ...


class TurnsGuide:
    """Children in turn, each with a guide of its own. Made by ``lead_turns``, or by ``lead_free`` in free practice.

    The turn goes to the child who was asked least so far. A child keeps it through the detour
    after a miss, because the answer just said is still in its ear, but never for more
    than three questions; one that is asked once more because it was not clear stays with its child.
    No new question comes after ``until``, where that is given.
    """

    ends_itself = True

    def __init__(self, guides: Sequence[OwnGuide], until: datetime | None = None) -> None:
        self.guides = tuple(guides)
        self.whose = 0
        self._until = until
        self._row = 0
        self._asked = [0] * len(guides)
        self._open: Question | None = None
        self._before = (0, 0)
        self._answered: tuple[int, Question] | None = None

    def next_question(self, now: datetime) -> Question | None:
        """What the child whose turn it is now is asked, or None when all are done."""
        if self._open is None and not (self._until and now >= self._until):
            for child in self._order():
                if question := self.guides[child].next_question(now):
                    self._give(child, question)
                    break
        return self._open

    @property
    def prompt(self) -> tuple[Said, ...]:
        """What to say for the open question."""
        return self.guides[self.whose].prompt

    def take(self, response: Response, now: datetime) -> Outcome:
        """Take the response of the child whose turn it is. ValueError when nothing was asked."""
        if self._open is None:
            raise ValueError("no question is open: call next_question first")
        guide, question = self.guides[self.whose], self._open
        outcome = guide.take(response, now)
        self._answered = self.whose, question
        once_more = outcome.level == "unclear" and guide.in_detour and guide.next_question(now) is question
        self._open = question if once_more else None
        return outcome

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """The parent's correction of the last answer; "again" gives that child the turn back."""
        check_correction(verdict)
        if self._answered is None:
            return None
        child, answered = self._answered
        outcome = self.guides[child].override(verdict, now)
        if self._open is answered:
            self._open = answered if verdict == "again" else None
            return outcome
        if self._open and (verdict == "again" or self.whose == child):
            # The correction may have changed what comes next.
            self._withdraw()
        if verdict == "again" and (question := self.guides[child].next_question(now)):
            self._asked[child] -= 1
            self._give(child, question)
        return outcome

    def skip(self, now: datetime) -> None:
        """Leave the open question without an answer; the turn passes on."""
        if self._open:
            self.guides[self.whose].skip(now)
            self._open = None

    def pass_over(self, now: datetime) -> None:
        """Leave the open question, which cannot be asked here; its child keeps the turn."""
        if self._open:
            self.guides[self.whose].pass_over(now)
            self._withdraw()

    def results(self) -> tuple[Result, ...]:
        """How it went so far, each child's in turn."""
        return tuple(result for guide in self.guides for result in guide.results())

    def _order(self) -> list[int]:
        count = len(self.guides)
        first = self.whose + 1 if self._row else self.whose
        order = sorted(range(count), key=lambda child: (self._asked[child], (child - first) % count))
        if 0 < self._row < IN_A_ROW and self.guides[self.whose].in_detour:
            order.remove(self.whose)
            order.insert(0, self.whose)
        return order

    def _give(self, child: int, question: Question) -> None:
        self._before = self.whose, self._row
        self._row = self._row + 1 if child == self.whose else 1
        self.whose, self._open = child, question
        self._asked[child] += 1

    def _withdraw(self) -> None:
        """Make the turn what it was before the open question."""
        self._asked[self.whose] -= 1
        self.whose, self._row = self._before
        self._open = None


def lead_turns(learners: Sequence[Learner], now: datetime, *, seed: int, minutes: float = 10.0) -> TurnsGuide:
    """The guide of one to three children by the plan; ``minutes`` are for all together. ValueError for more children."""
    if not 1 <= len(learners) <= MOST_CHILDREN:
        raise ValueError(f"a sitting is for 1 to {MOST_CHILDREN} children")
    guides = [lead_one(learner, now, seed=seed + place, minutes=minutes) for place, learner in enumerate(learners)]
    return TurnsGuide(guides)
