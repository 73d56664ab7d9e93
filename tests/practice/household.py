"""Eleven simulated children as a family might know them: how each behaves, where it is put, when it practises.

Drawn up before the rules that they test. Their memory is that of ``tests/practice/children.py``;
what they start with, how often they slip and when they practise is invented.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from sayit.numbers import FORMS, as_form, name
from sayit.practice.question import Question, Response
from tests.practice.children import TEENS, TIES, Child, Piece, pieces

ALL = frozenset(
    [*"see pair more next before ten-more ten-less tens hundreds claps digits word".split(), "tens form", "teen or ty"]
)
BEGINNER = frozenset(("see", "more", "next", "before", "claps"))
ONLY_SILENT_DAYS = 5


def right(question: Question, seconds: float) -> Response:
    """The right answer in the form asked."""
    value = question.value
    if question.way == "digits":
        return Response(digits=str(value), response_seconds=seconds)
    if question.way == "choice":
        return Response(choice=value, response_seconds=seconds)
    if question.form == "digits":
        return Response(words=" ".join(name(int(digit)) for digit in str(value)), response_seconds=seconds)
    return Response(words=name(value, "plain" if question.form == "any" else question.form), response_seconds=seconds)


class SlowButRight(Child):
    """Right every time, after about seven and a half seconds."""

    def answer(self, question: Question) -> Response:
        """The right answer, late."""
        return right(question, 7.5 * self.random.lognormvariate(0, 0.15))


class TooHigh(Child):
    """Says back what it hears, sees one to three, and can only learn what lies just past what it knows.

    In each range it must know what the questions of the range below need (with 70 % in the mean) before anything of
    that range stays. Until then it echoes a number that it heard, or guesses a small one.
    """

    ranges = (5, 10, 19, 99, 199, 999, 9_999)

    def answer(self, question: Question) -> Response:
        """An answer of its own where it can follow, else an echo."""
        at = _range(self.ranges, max(question.about))
        if question.activity == "say-back":
            return right(question, 1.5)
        if question.activity == "glimpse" and question.value <= 3:
            return right(question, 1.2)
        if at > self.reach:
            heard = question.about[0] if not question.show else self.random.randint(1, 5)
            form = next((named.form for phrase in question.say for _, named in phrase.values), "plain")
            return _said(question, heard, form, 2.5 * self.random.lognormvariate(0, 0.3))
        self.met.setdefault(at, set()).update(pieces(question))
        return super().answer(question)

    @property
    def met(self) -> dict[int, set[Piece]]:
        """The pieces met in each range."""
        if not hasattr(self, "_met"):
            self._met: dict[int, set[Piece]] = {}
        return self._met

    @property
    def reach(self) -> int:
        """The highest range in which it can learn now."""
        for at in range(len(self.ranges)):
            met = self.met.get(at, set())
            if len(met) < 4 or sum(self.recall(piece) for piece in met) / len(met) < 0.7:
                return at
        return len(self.ranges) - 1


def _range(ranges: tuple[int, ...], number: int) -> int:
    return next((at for at, last in enumerate(ranges) if number <= last), len(ranges))


def _said(question: Question, value: int, form: str, seconds: float) -> Response:
    if question.way == "digits":
        return Response(digits=str(value), response_seconds=seconds)
    if question.way == "choice":
        return Response(choice=question.about[0], response_seconds=seconds)
    return Response(words=name(value, as_form(form)), response_seconds=seconds)


class Silent(Child):
    """Says and does nothing on its first five days; then it is an average child."""

    quiet = True

    def answer(self, question: Question) -> Response:
        """Nothing, or what the average child says."""
        return Response() if self.quiet else super().answer(question)


@dataclass(frozen=True)
class Member:
    """A child: where the parent puts it, how it is made, on which days and how often a day it practises, in which forms."""

    name: str
    step: str
    make: Callable[[Random], Child]
    practises: Callable[[int], bool] = lambda _day: True
    a_day: int = 1
    forms: tuple[str, ...] = FORMS
    gap: frozenset[Piece] = field(default_factory=frozenset)


def _average(random: Random) -> Child:
    return Child(random, BEGINNER, slip=0.05)


def _knows_all_but(*weak: Piece) -> Callable[[Random], Child]:
    return lambda random: Child(random, ALL, frozenset(weak), slip=0.04)


HOUSEHOLD = (
    Member("fast", "pairs-to-ten", lambda random: Child(random, BEGINNER, quickness=3, slip=0.02, slowness=0.8)),
    Member("average", "pairs-to-ten", _average),
    Member("slow but right", "pairs-to-ten", SlowButRight),
    Member("too high", "hundreds", lambda random: TooHigh(random, slip=0.05)),
    Member("silent", "pairs-to-ten", lambda random: Silent(random, BEGINNER, slip=0.05)),
    Member(
        "swaps teens and tens", "tens-and-ones", _knows_all_but(*(("teen or ty", part) for part in (*TEENS, *TIES)))
    ),
    Member(
        "drops zeros",
        "ten-tens",
        _knows_all_but(*(("digits", shape) for shape in ("d0d", "d0dd", "dd0d", "d00d", "d0d0"))),
    ),
    Member("counts", "to-five", _knows_all_but(*(("see", quantity) for quantity in range(4, 11)))),
    Member("skips weeks", "pairs-to-ten", _average, practises=lambda day: day // 7 % 2 == 0),
    Member("twice a day", "pairs-to-ten", _average, a_day=2),
    Member("one form only", "pairs-to-ten", _average, forms=("plain",)),
)
