"""What a way of asking is made of."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from sayit.numbers import Judgement, name
from sayit.practice.key import ask_name
from sayit.practice.path import Step
from sayit.practice.question import Question, Response, Said


@dataclass(frozen=True, slots=True)
class Lesson:
    """What is taught whenever it was missed: ``why`` for the parent, ``say(number)`` for the child."""

    why: str
    say: Callable[[int], Said]


@dataclass(frozen=True, slots=True)
class Activity:
    """A way of asking.

    ``says`` tells a parent what it is. ``guess`` is the chance of a right answer
    by one who does not know (0 to 1); ``factor`` stretches the step's seconds,
    because building takes longer than saying. ``counts`` is False where a right
    answer can be an echo and so proves little. ``seen`` is True where a quantity is
    to be seen, not counted; ``until_at_once`` where it is asked again until the answer comes at once.

    ``freely`` tells whether a parent can choose it for free practice. ``short`` names it in the report;
    ``tells_number`` is False where a wrong answer does not tell which number was taken for the one asked.
    ``sheet`` is the row of tasks that a printed sheet has for it ("" for none). After a miss the next step is
    about the answer where ``about_answer`` is set, else about the number asked, and a ``lesson`` takes its
    place where there is one.

    ``variants(step)`` lists its kinds at a step, ``suits(number, variant)`` says
    whether a number can be asked so, ``pair(step, number, random)`` gives all
    numbers of one question, ``ask(step, about, variant)`` makes the question and
    ``judge(question, answer)`` judges what came back.
    """

    slug: str
    says: str
    short: str
    guess: float
    factor: float
    ask: Callable[[Step, tuple[int, ...], str], Question]
    judge: Callable[[Question, Response], Judgement]
    variants: Callable[[Step], tuple[str, ...]] = lambda _step: ("",)
    suits: Callable[[int, str], bool] = lambda _number, _variant: True
    pair: Callable[[Step, int, Random], tuple[int, ...]] = lambda _step, number, _random: (number,)
    counts: bool = True
    seen: bool = False
    until_at_once: bool = False
    tells_number: bool = True
    about_answer: bool = False
    lesson: Lesson | None = None
    sheet: str = ""
    freely: bool = False

    def called(self, variant: str = "") -> str:
        """The way of asking that it is in that variant, such as "other-way:explicit"."""
        return ask_name(self.slug, variant)


def forms(step: Step) -> tuple[str, ...]:
    """The forms of a step, as variants."""
    return step.forms


def differs(number: int) -> bool:
    """Whether the two names of a number differ (they do not for 3, 100 or 5,003)."""
    return name(number, "plain") != name(number, "explicit")
