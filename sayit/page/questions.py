"""What is asked on the page: numbers of a range in the ways that the parent ticked."""

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import count
from random import Random

from sayit.practice.activities import ACTIVITIES
from sayit.practice.asking import Asking, Outcome, ask
from sayit.practice.layout import MOST
from sayit.practice.question import Question, Response
from sayit.sitting.planned import Led

__all__ = ["InTurns", "draw_ways"]

_RECENT = 4


def draw_ways(random: Random, *, low: int, high: int, forms: Sequence[str], ways: Sequence[str]) -> Iterator[Question]:
    """Questions without end; the ways take turns, the same seed asks the same.

    Things to see at a glance are 20 at most, whatever the range.
    """
    recent: list[int] = []
    for turn in count():
        way = ways[turn % len(ways)]
        top = min(high, MOST) if way == "glimpse" else high
        bottom = min(low, top)
        number = random.randint(bottom, top)
        for _ in range(12):
            if number not in recent:
                break
            number = random.randint(bottom, top)
        recent = [*recent, number][-_RECENT:]
        form = random.choice(forms)
        if way == "read-out" and "plain" in forms:
            # Seen digits do not say which name is wanted, so only the everyday one is.
            form = "plain"
        if way == "glimpse":
            yield ask(number, "", way)
        elif way == "places":
            yield ask(number, "digits" if ACTIVITIES[way].suits(number, "") else "plain", way)
        else:
            # A number that has one name only is still built or read out, in that name.
            yield ask(number, form if ACTIVITIES[way].suits(number, form) else "plain", way)


class InTurns(Led):
    """Each child has an ``Asking`` of its own, and the turn passes on after each question; no new one after ``minutes``."""

    def __init__(self, askings: Sequence[Asking], began: datetime, minutes: float) -> None:
        super().__init__(lambda question: True)
        self._askings = tuple(askings)
        self._until = began + timedelta(minutes=minutes)
        self._open = False
        self._answered = 0

    def _next(self, now: datetime) -> Question | None:
        if not self._open and now >= self._until:
            return None
        self._open = True
        return self._askings[self.whose].next_question(now)

    def take(self, answer: Response, now: datetime) -> Outcome:
        asking = self._askings[self.whose]
        question = asking.next_question(now)
        outcome = asking.take(answer, now)
        self._answered = self.whose
        if outcome.judgement.verdict != "unclear" or asking.next_question(now) is not question:
            self._pass()
        return outcome

    def skip(self, now: datetime) -> None:
        self._askings[self.whose].skip(now)
        self._pass()

    def _override(self, verdict: str, now: datetime) -> Outcome | None:
        if verdict == "again":
            self.whose, self._open = self._answered, True
        return self._askings[self._answered].override(verdict, now)

    def _pass(self) -> None:
        self.whose = (self.whose + 1) % len(self._askings)
        self._open = False
