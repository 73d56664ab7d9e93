"""Build: hear a number and put its digits down."""

from sayit.practice.activities.activity import Activity, differs, forms
from sayit.practice.activities.built import built
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "build",
        variant,
        about,
        (said("ask.build", number=Named(number, variant)),),
        way="digits",
        value=number,
        form="digits",
        seconds=step.seconds * BUILD.factor,
    )


BUILD = Activity(
    slug="build",
    says="hears a number and puts its digits down",
    short="putting its digits down",
    guess=0.05,
    factor=1.5,
    ask=_ask,
    judge=built,
    variants=forms,
    suits=lambda number, variant: variant == "plain" or differs(number),
    freely=True,
    sheet="write",
)
