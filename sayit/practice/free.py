"""Free practice: numbers of a range, in the activities that the parent chose, without a plan.

What is asked follows from the range, the forms, the activities and a random source; a missed
question comes back once after a few others.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import count
from random import Random

from sayit.errors import SayitError
from sayit.numbers import FORMS, HIGHEST, Judgement
from sayit.practice.activities import ACTIVITIES, judge_answer
from sayit.practice.activities.other_way import OTHER_WAY
from sayit.practice.activities.say_back import SAY_BACK
from sayit.practice.guide import Outcome, Result, check_correction
from sayit.practice.layout import MOST
from sayit.practice.path import Step
from sayit.practice.pools import Pool
from sayit.practice.question import Question, Response, Said
from sayit.practice.replies import reply
from sayit.practice.unheard import Unheard, judge_open, take_unheard

PLAINEST = (SAY_BACK.slug, OTHER_WAY.slug)
"""The activities where none are chosen: all that they need is an ear and a voice."""

COMES_BACK = 3
"""How many other questions lie between a missed one and its return."""

_SECONDS = 4.0
_RECENT = 4


class FreeGuide:
    """The guide that asks ``questions`` in their order.

    ``forms`` are those wanted from the child. With ``tries`` each question is put so often at most while the answer is unclear, and nobody is called;
    with ``returns`` a missed question comes back once.
    """

    whose = 0
    ends_itself = False

    def __init__(
        self,
        questions: Iterator[Question],
        *,
        forms: Sequence[str] = FORMS,
        tries: Callable[[Question], int] | None = None,
        returns: bool = True,
    ) -> None:
        self._questions = questions
        self._both = {*FORMS} <= {*forms}
        self._tries = tries
        self._returns = returns
        self._open: Question | None = None
        self._unheard = Unheard()
        self._asked = 0
        self._waiting: list[tuple[int, Question]] = []
        self._returned: set[str] = set()
        self._last: Question | None = None
        self._put_off: Question | None = None

    @property
    def in_detour(self) -> bool:
        """Whether the last question is to be asked again."""
        return self._open is not None

    def next_question(self, now: datetime) -> Question | None:
        """What to ask now, or None when there is no more. Asked twice without an answer it says the same."""
        if self._open is None and not self._unheard.calls:
            self._open = self._choose()
            self._unheard = self._unheard.left()
            self._asked += self._open is not None
        return self._open

    @property
    def prompt(self) -> tuple[Said, ...]:
        """What to say for the open question."""
        return self._unheard.prompt(self._open)

    def take(self, response: Response, now: datetime) -> Outcome:
        """Judge the response to the open question. ValueError when nothing was asked."""
        question = self._open
        if question is None:
            raise ValueError("no question is open: call next_question first")
        self._last = question
        judgement = judge_open(self._unheard, question, response)
        if judgement.verdict == "unclear":
            most = self._tries(question) - 1 if self._tries else None
            self._unheard, outcome = take_unheard(
                self._unheard, question, judgement, response, most=most, both=self._both
            )
            if not self._unheard.unclear:
                self._open = None
                self._come_back(question)
            return outcome
        self._open, self._unheard = None, Unheard()
        return self._outcome(question, judgement)

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """The parent's correction of the last answer."""
        check_correction(verdict)
        question = self._last
        if question is None:
            return None
        self._waiting = [(at, other) for at, other in self._waiting if other.key != question.key]
        self._unheard = Unheard()
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

    def pass_over(self, now: datetime) -> None:
        """Leave the open question, which cannot be asked here; it does not count as asked."""
        self._asked -= self._open is not None
        self._open = None

    def results(self) -> tuple[Result, ...]:
        """None: free practice has no aim."""
        return ()

    def _outcome(self, question: Question, judgement: Judgement) -> Outcome:
        missed = judgement.verdict != "right"
        if missed:
            self._come_back(question)
        level = "missed" if missed else "untimed"
        return Outcome(question, judgement, level, reply(question, judgement, level))

    def _come_back(self, question: Question) -> None:
        if self._returns and question.key not in self._returned:
            self._waiting.append((self._asked + COMES_BACK, question))

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
    activities: Sequence[str] = PLAINEST,
) -> Iterator[Question]:
    """Questions without end about the numbers from ``low`` to ``high``, answers wanted in ``forms``.

    The activities take turns. Things to see at a glance are 20 at most, whatever the range. The same
    seed asks the same. ``SayitError`` for a range that is none.
    """
    if not 0 <= low <= high <= HIGHEST:
        raise SayitError(f"{low}-{high} is no range: give the smaller number first, both from 0 to {HIGHEST:,}.")
    recent: list[int] = []
    for turn in count():
        activity = activities[turn % len(activities)]
        top = min(high, MOST) if ACTIVITIES[activity].seen else high
        bottom = min(low, top)
        number = random.randint(bottom, top)
        for _ in range(12):
            if number not in recent:
                break
            number = random.randint(bottom, top)
        recent = [*recent, number][-_RECENT:]
        question = ask(number, random.choice(forms), activity)
        if question.show and question.show.kind == "digits" and "plain" in forms:
            # Seen digits do not say which form is wanted, so only the everyday one is.
            question = ask(number, "plain", activity)
        yield question


def ask(number: int, form: str, activity: str = SAY_BACK.slug) -> Question:
    """One question for ``number``, its answer wanted in ``form``.

    A number that has one name only (3, 100, 8,006) is asked in that name, and said back where the
    activity needs two names or does not suit it at all.
    """
    chosen = ACTIVITIES[activity]
    kinds = ("",) if chosen.variants(_FREE) == ("",) else (form, "plain")
    kind = next((kind for kind in kinds if chosen.suits(number, kind)), None)
    if kind is None:
        chosen, kind = SAY_BACK, "plain"
    question = chosen.ask(_FREE, (number,), kind)
    # "Any" of both forms is not what the parent set; things to see and digits to tell have a form of their own.
    return replace(question, form=form) if kind and question.form == "any" else question


_FREE = Step(
    slug="free",
    title="Any numbers",
    aim="say the numbers of a range in both forms",
    numbers=Pool((f"0-{HIGHEST}",), HIGHEST),
    forms=FORMS,
    asks=PLAINEST,
    needs=PLAINEST,
    accuracy=0.9,
    seconds=_SECONDS,
    after=(),
    standards=(),
    lay_out="",
    say="",
)
