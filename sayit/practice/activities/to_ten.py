"""To ten: hear one part of ten and say the other."""

from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "to-ten",
        variant,
        about,
        (said("ask.to-ten", number=Named(number)),),
        way="spoken",
        value=10 - number,
        form="any",
        seconds=step.seconds,
    )


TO_TEN = Activity(
    slug="to-ten",
    says="hears one part of ten and says the other",
    short="the part that makes ten",
    guess=0.12,
    factor=1.0,
    ask=_ask,
    judge=judging.quantity,
    suits=lambda number, _variant: 1 <= number <= 9,
    sheet="to-ten",
)
