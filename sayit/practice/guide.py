"""What every guide through a sitting can do, and what follows from an answer.

A guide knows what to ask next. There is one for a child by the plan, one for free practice,
one that looks for a child's place, and one in which children take turns.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from sayit.numbers import Judgement
from sayit.practice.aims import Aim
from sayit.practice.followups import FollowUp
from sayit.practice.learner import Past
from sayit.practice.question import Question, Response, Said

CORRECTIONS = ("right", "wrong", "again", "skip")
"""What a parent can make of an answer: its verdict, asking it once more, or leaving it out."""

_MOST_PASSED = 40

_MET = {
    "met": "The closing questions were all right: the aim is met.",
    "nearly": "All closing questions but one were right: the aim is nearly met.",
    "not yet": "The closing questions were not sure yet: the aim comes back.",
    "not asked": "The closing questions were not asked.",
}


@dataclass(frozen=True, slots=True)
class Outcome:
    """What follows from an answer.

    ``level`` is "fluent", "correct", "slow", "untimed", "missed" or "unclear".
    ``reply`` is all that is said to the child before the next question. ``follow_up`` is
    the next step where there is one, ``note`` a plain sentence for the parent ("" for
    none), ``past`` what counts of it (None while unclear, and in free practice), ``step`` the new
    step where this answer completed one. ``calls`` is why the parent is called, "" where nobody is.
    """

    question: Question
    judgement: Judgement
    level: str
    reply: tuple[Said, ...]
    follow_up: FollowUp | None = None
    note: str = ""
    past: Past | None = None
    step: str | None = None
    calls: str = ""


@dataclass(frozen=True, slots=True)
class Result:
    """How one child's sitting went: its ``aim``, how it was ``met``, and why it came to its end ("" where it did not)."""

    aim: Aim
    met: str
    because: str


class Guide(Protocol):
    """Knows what to ask next and what follows from an answer.

    ``whose`` turn it is counts the children from 0. A guide that ``ends_itself`` comes to an end of its
    own when its time is up, so whoever plays it waits for that.
    """

    @property
    def whose(self) -> int:
        """Whose turn it is."""
        ...

    @property
    def ends_itself(self) -> bool:
        """Whether it comes to an end by itself."""
        ...

    def next_question(self, now: datetime) -> Question | None:
        """What to ask now, or None when there is no more. Asked twice without an answer it says the same."""
        ...

    @property
    def prompt(self) -> tuple[Said, ...]:
        """What to say for the open question: its own words, or what settles a doubt about its answer."""
        ...

    def take(self, response: Response, now: datetime) -> Outcome:
        """Judge the response to the open question and take it in. ValueError when nothing was asked."""
        ...

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """The parent's correction of the last answer, one of ``CORRECTIONS``; ValueError for any other.

        None for "again" and "skip", and where there is no answer to correct.
        """
        ...

    def skip(self, now: datetime) -> None:
        """Leave the open question without an answer; nothing is held against the child."""
        ...

    def pass_over(self, now: datetime) -> None:
        """Leave the open question because it cannot be asked here; it does not count as asked."""
        ...

    def results(self) -> tuple[Result, ...]:
        """How it went so far, each child's in turn; empty where there is no aim."""
        ...


def next_fitting(guide: Guide, now: datetime, fits: Callable[[int, Question], bool]) -> Question | None:
    """The next question that ``fits(whose, question)``; others are passed over. None where none is found."""
    for _ in range(_MOST_PASSED):
        question = guide.next_question(now)
        if question is None or fits(guide.whose, question):
            return question
        guide.pass_over(now)
    return None


def check_correction(verdict: str) -> None:
    """ValueError for what is no correction."""
    if verdict not in CORRECTIONS:
        raise ValueError(f"{verdict!r} is no correction: {', '.join(CORRECTIONS[:-1])} or {CORRECTIONS[-1]}")


def met_in_words(met: str) -> str:
    """How an aim was met ("met", "nearly", "not yet", "not asked"), in a sentence for the parent."""
    return _MET[met]
