"""The practice's own choice of questions, as a sitting takes it: for one child, for several in turns, for a placement."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sayit.practice.aims import Aim
from sayit.practice.learner import Learner
from sayit.practice.placement import SURE, Placement, start_placement
from sayit.practice.question import Question, Response
from sayit.practice.replies import Outcome
from sayit.practice.session import Session, start_session
from sayit.practice.turns import Sitting, start_sitting

__all__ = ["Led", "Planned", "Searching", "Together", "lead_by_plan", "met_in_words"]

_MET = {
    "met": "The closing questions were all right: the aim is met.",
    "nearly": "All closing questions but one were right: the aim is nearly met.",
    "not yet": "The closing questions were not sure yet: the aim comes back.",
    "not asked": "The closing questions were not asked.",
}
_MOST_PASSED = 40
_LIKELY = 0.5
"""A place that the time ran out on counts where it is likelier than all others together."""


def met_in_words(met: str) -> str:
    """How an aim was met ("met", "nearly", "not yet", "not asked"), in a sentence for the parent."""
    return _MET[met]


@dataclass(frozen=True, slots=True)
class Result:
    """How one child's sitting went: its ``aim``, how it was ``met``, and why it came to its end ("" where it did not)."""

    aim: Aim
    met: str
    because: str


class Led:
    """A guide that ends its sitting itself. ``whose`` turn it is counts the children from 0.

    Questions that ``knows`` says cannot be asked (nothing to show them on, no hands to
    answer with) are passed over; nothing is held against the child.
    """

    def __init__(self, knows: Callable[[Question], bool]) -> None:
        self._knows = knows
        self.whose = 0

    def next_question(self, now: datetime) -> Question | None:
        for _ in range(_MOST_PASSED):
            question = self._next(now)
            if question is None or self._knows(question):
                return question
            self._pass_over(now)
        return None

    def _pass_over(self, now: datetime) -> None:
        self.skip(now)

    def _next(self, now: datetime) -> Question | None:
        raise NotImplementedError

    def take(self, answer: Response, now: datetime) -> Outcome:
        raise NotImplementedError

    def skip(self, now: datetime) -> None:
        raise NotImplementedError

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        try:
            return self._override(verdict, now)
        except ValueError:
            # The answer was set aside before: the record has the parent's word, and the practice has nothing to take back.
            return None

    def _override(self, verdict: str, now: datetime) -> Outcome | None:
        raise NotImplementedError

    def aims(self) -> tuple[Aim, ...]:
        """What the sitting is for, each child's in turn; none for a placement."""
        return tuple(result.aim for result in self.results())

    def results(self) -> tuple[Result, ...]:
        """How it went so far, each child's in turn."""
        return ()


class Planned(Led):
    """What ``Session`` chooses for one child."""

    def __init__(self, session: Session, knows: Callable[[Question], bool] = lambda question: True) -> None:
        super().__init__(knows)
        self.session = session

    def _next(self, now: datetime) -> Question | None:
        return self.session.next_question(now)

    def take(self, answer: Response, now: datetime) -> Outcome:
        return self.session.take(answer, now)

    def skip(self, now: datetime) -> None:
        self.session.skip(now)

    def _override(self, verdict: str, now: datetime) -> Outcome | None:
        return self.session.override(verdict, now)

    def results(self) -> tuple[Result, ...]:
        return (_result(self.session),)


class Together(Led):
    """What ``Sitting`` chooses for two or three children in turns.

    A question that is asked once more, because it was not clear, stays with its child.
    """

    def __init__(self, sitting: Sitting, knows: Callable[[Question], bool] = lambda question: True) -> None:
        super().__init__(knows)
        self.sitting = sitting
        self._held: Question | None = None

    def _next(self, now: datetime) -> Question | None:
        if self._held:
            return self._held
        turn = self.sitting.next_turn(now)
        if turn is None:
            return None
        self.whose = turn.child
        return turn.question

    def take(self, answer: Response, now: datetime) -> Outcome:
        session = self.sitting.sessions[self.whose]
        outcome = session.take(answer, now) if self._held else self.sitting.take(answer, now)
        open_ = outcome.level == "unclear" and session.in_detour and session.next_question(now)
        self._held = outcome.question if open_ is outcome.question else None
        return outcome

    def skip(self, now: datetime) -> None:
        if self._held:
            self.sitting.sessions[self.whose].skip(now)
            self._held = None
        else:
            self.sitting.skip(now)

    def _override(self, verdict: str, now: datetime) -> Outcome | None:
        self._held = None
        return self.sitting.override(verdict, now)

    def results(self) -> tuple[Result, ...]:
        return tuple(_result(session) for session in self.sitting.sessions)


class Searching(Led):
    """What ``Placement`` asks to find a child's place on the path."""

    def __init__(self, placement: Placement, knows: Callable[[Question], bool] = lambda question: True) -> None:
        super().__init__(knows)
        self.placement = placement
        self._ended = False

    @property
    def found(self) -> bool:
        """Whether the place is sure enough to go on from."""
        needed = _LIKELY if self._ended else SURE
        return self.placement.asked > 0 and self.placement.sure >= needed

    def _next(self, now: datetime) -> Question | None:
        question = self.placement.next_question(now)
        self._ended = question is None
        return question

    def take(self, answer: Response, now: datetime) -> Outcome:
        return self.placement.take(answer, now)

    def skip(self, now: datetime) -> None:
        self.placement.skip(now)

    def _pass_over(self, now: datetime) -> None:
        # It was not asked, so it does not use up the questions that a placement may ask.
        self.placement.skip(now)
        self.placement.asked -= 1

    def _override(self, verdict: str, now: datetime) -> Outcome | None:
        return self.placement.override(verdict, now)


def _result(session: Session) -> Result:
    return Result(session.aim, session.closing.met, session.because)


def lead_by_plan(
    learners: Sequence[Learner],
    now: datetime,
    *,
    seed: int,
    minutes: float,
    knows: Callable[[Question], bool],
    looking: bool = False,
) -> Led:
    """The guide for these children: one, or several in turns, or the first alone where it is ``looking`` for a place."""
    if looking:
        return Searching(start_placement(learners[0], now, seed=seed, minutes=minutes), knows)
    if len(learners) == 1:
        return Planned(start_session(learners[0], now, seed=seed, minutes=minutes), knows)
    return Together(start_sitting(learners, now, seed=seed, minutes=minutes), knows)
