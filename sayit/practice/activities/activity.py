"""What a way of asking is made of."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from sayit.numbers import Judgement, name
from sayit.practice.path import Step
from sayit.practice.question import Question, Response


@dataclass(frozen=True, slots=True)
class Activity:
    """A way of asking.

    ``says`` tells a parent what it is. ``guess`` is the chance of a right answer
    by one who does not know (0 to 1); ``factor`` stretches the step's seconds,
    because building takes longer than saying. ``counts`` is False where a right
    answer can be an echo and so proves little. ``seen`` is True where a quantity is
    to be seen, not counted; ``until_at_once`` where it is asked again until the answer comes at once.

    ``variants(step)`` lists its kinds at a step, ``suits(number, variant)`` says
    whether a number can be asked so, ``pair(step, number, random)`` gives all
    numbers of one question, ``ask(step, about, variant)`` makes the question and
    ``judge(question, answer)`` judges what came back.
    """

    slug: str
    says: str
    guess: float
    factor: float
    ask: Callable[[Step, tuple[int, ...], str], Question]
    judge: Callable[[Question, Response], Judgement]
    variants: Callable[[Step], tuple[str, ...]] = lambda step: ("",)
    suits: Callable[[int, str], bool] = lambda number, variant: True
    pair: Callable[[Step, int, Random], tuple[int, ...]] = lambda step, number, random: (number,)
    counts: bool = True
    seen: bool = False
    until_at_once: bool = False


def forms(step: Step) -> tuple[str, ...]:
    """The forms of a step, as variants."""
    return step.forms


def differs(number: int) -> bool:
    """Whether the two names of a number differ (they do not for 3, 100 or 5,003)."""
    return name(number, "plain") != name(number, "explicit")
