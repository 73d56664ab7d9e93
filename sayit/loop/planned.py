"""The practice's own choice of questions, as a sitting takes it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from sayit.practice.question import Answer, Question
from sayit.practice.session import Outcome, Session

__all__ = ["Planned"]

_MET = {
    "met": "The closing questions were all right: the aim is met.",
    "nearly": "All closing questions but one were right: the aim is nearly met.",
    "not yet": "The closing questions were not sure yet: the aim comes back.",
    "not asked": "The closing questions were not asked.",
}
_MOST_PASSED = 40


class Planned:
    """A guide that asks what ``Session`` chooses, and passes over what ``knows`` says cannot be asked yet."""

    def __init__(self, session: Session, knows: Callable[[Question], bool]) -> None:
        self.session = session
        self._knows = knows

    def next_question(self, now: datetime) -> Question | None:
        for _ in range(_MOST_PASSED):
            question = self.session.next_question(now)
            if question is None or self._knows(question):
                return question
            self.session.skip(now)
        return None

    def take(self, answer: Answer, now: datetime) -> Outcome:
        return self.session.take(answer, now)

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        try:
            return self.session.override(verdict, now)
        except ValueError:
            # The answer was set aside before: the record has the parent's word, and the practice has nothing to take back.
            return None

    def skip(self, now: datetime) -> None:
        self.session.skip(now)

    def closing(self) -> str:
        """How the aim was met, in a sentence for the parent."""
        return _MET[self.session.closing.met]
