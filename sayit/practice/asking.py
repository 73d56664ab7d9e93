"""Asking freely: numbers from a range, in the two plainest ways, without a plan.

Say back what you hear, and say its other name. What is asked follows from
a range, the forms and a random source; a missed number comes back once after a
few others.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import count
from random import Random

from sayit.errors import SayitError
from sayit.numbers import Judgement
from sayit.practice.activities import ACTIVITIES, judge_answer
from sayit.practice.path import FURTHEST, Step
from sayit.practice.pools import Pool
from sayit.practice.question import Question, Response, Said
from sayit.practice.replies import once_more, reply

FORMS = ("plain", "explicit")
WAYS = ("say-back", "other-way")
COMES_BACK = 3
"""How many other questions lie between a missed one and its return."""

_SECONDS = 4.0
_RECENT = 4


@dataclass(frozen=True, slots=True)
class Outcome:
    """What follows from an answer: how it was judged and what is said to the child."""

    judgement: Judgement
    reply: tuple[Said, ...]


class Asking:
    """A sitting that asks ``questions`` in their order. Ask ``next_question`` and give ``take`` the answer.

    An unclear answer is asked for again while ``tries(question)`` allows it; with
    ``returns`` a missed question comes back once.
    """

    def __init__(
        self,
        questions: Iterator[Question],
        *,
        tries: Callable[[Question], int] = lambda question: 3,
        returns: bool = True,
    ) -> None:
        self._questions = questions
        self._tries = tries
        self._returns = returns
        self._open: Question | None = None
        self._attempts = 0
        self._asked = 0
        self._waiting: list[tuple[int, Question]] = []
        self._returned: set[str] = set()
        self._last: Question | None = None
        self._put_off: Question | None = None

    def next_question(self, now: datetime) -> Question | None:
        """What to ask now, or None when there is no more. Asked twice without an answer it says the same."""
        if self._open is None:
            self._open = self._choose()
            self._attempts = 0
            self._asked += self._open is not None
        return self._open

    def take(self, answer: Response, now: datetime) -> Outcome:
        """Judge the answer to the open question. ValueError when nothing was asked."""
        question = self._open
        if question is None:
            raise ValueError("no question is open: call next_question first")
        self._last = question
        self._attempts += 1
        judgement = judge_answer(question, answer)
        if judgement.verdict == "unclear":
            if self._attempts < self._tries(question):
                return Outcome(judgement, (once_more(answer),))
        self._open = None
        return self._outcome(question, judgement)

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """The parent's correction of the last answer: "right", "wrong", "again" (ask it once more) or "skip"."""
        question = self._last
        if question is None:
            raise ValueError("there is no answer to correct")
        self._waiting = [(at, other) for at, other in self._waiting if other.key != question.key]
        if verdict == "again":
            if self._open is not question:
                self._put_off = self._open
            self._open = question
            return None
        if self._open is question:
            self._open = None
        if verdict == "skip":
            return None
        return self._outcome(question, judge_answer(question, Response(verdict=verdict)))

    def skip(self, now: datetime) -> None:
        """Leave the open question without an answer."""
        self._open = None

    def _outcome(self, question: Question, judgement: Judgement) -> Outcome:
        missed = judgement.verdict != "right"
        if missed and self._returns and question.key not in self._returned:
            self._waiting.append((self._asked + COMES_BACK, question))
        return Outcome(judgement, reply(question, judgement, "missed" if missed else "untimed"))

    def _choose(self) -> Question | None:
        if question := self._put_off:
            self._put_off = None
            return question
        for entry in self._waiting:
            if self._asked >= entry[0]:
                self._waiting.remove(entry)
                self._returned.add(entry[1].key)
                return entry[1]
        return next(self._questions, None)


def draw(
    random: Random,
    *,
    low: int = 1,
    high: int = 100,
    forms: Sequence[str] = FORMS,
    ways: Sequence[str] = WAYS,
) -> Iterator[Question]:
    """Questions without end about the numbers from ``low`` to ``high``, answers wanted in ``forms``.

    Both ways take turns where a number has two names. The same seed asks the
    same. ``SayitError`` for a range that is none.
    """
    if not 0 <= low <= high <= FURTHEST:
        raise SayitError(f"{low}-{high} is no range: give the smaller number first, both from 0 to {FURTHEST:,}.")
    recent: list[int] = []
    for turn in count():
        number = random.randint(low, high)
        for _ in range(12):
            if number not in recent:
                break
            number = random.randint(low, high)
        recent = [*recent, number][-_RECENT:]
        yield ask(number, random.choice(forms), ways[turn % len(ways)])


def ask(number: int, form: str, way: str = "say-back") -> Question:
    """One question for ``number``, its answer wanted in ``form``.

    A number that has one name only (3, 100, 5,003) is asked back in it.
    """
    activity = ACTIVITIES[way]
    if activity.suits(number, form):
        question = activity.ask(_FREE, (number,), form)
        # "Any" of both forms is not what the parent set; things to see and digits to tell have a form of their own.
        return replace(question, form=form) if question.form == "any" and form in FORMS else question
    return replace(ACTIVITIES["say-back"].ask(_FREE, (number,), "plain"), form=form)


_FREE = Step(
    slug="free",
    title="Any numbers",
    aim="say the numbers of a range in both forms",
    numbers=Pool((f"0-{FURTHEST}",), FURTHEST),
    forms=FORMS,
    asks=WAYS,
    needs=WAYS,
    accuracy=0.9,
    seconds=_SECONDS,
    after=(),
    standards=(),
    lay_out="",
    say="",
)
