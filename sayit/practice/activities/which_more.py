"""Which is more: two numbers, the larger is said or pointed at."""

from random import Random

from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity
from sayit.practice.layout import MOST
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, Shown, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    first, second = about
    return Question(
        step.slug,
        "which-more",
        variant,
        about,
        (said("ask.which-more", first=Named(first), second=Named(second)),),
        way="choice",
        value=max(about),
        form="any",
        seconds=step.seconds * WHICH_MORE.factor,
        # Numerals come later than small quantities.
        show=Shown("quantity" if max(about) <= MOST else "digits", about),
    )


def _pair(step: Step, number: int, random: Random) -> tuple[int, ...]:
    """A number and one that is easily taken for it (turned round, zero lost, teen and ty), or a neighbour."""
    digits = str(number)
    traps = {int(digits[::-1]), int(digits.replace("0", "") or 0), number + 1, number - 1}
    if 13 <= number <= 19:
        traps.add((number - 10) * 10)
    if number in range(30, 91, 10):
        traps.add(10 + number // 10)
    if number > MOST:
        traps.add(number + 10)
    fit = sorted(trap for trap in traps if 1 <= trap <= step.numbers.limit and trap != number)
    other = random.choice(fit) if fit else step.numbers.pick(random, avoid=(number,))
    return (number, other) if random.random() < 0.5 else (other, number)


WHICH_MORE = Activity(
    slug="which-more",
    says="hears two numbers and says which is more",
    short="which is more",
    guess=0.5,
    factor=1.2,
    ask=_ask,
    judge=judging.chosen,
    pair=_pair,
    tells_number=False,
    about_answer=True,
    sheet="more",
)
