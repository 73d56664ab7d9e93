"""Places: hear a number and tell its digits one by one, the zeros too."""

from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "places",
        variant,
        about,
        (said("ask.places", number=Named(number)),),
        way="spoken",
        value=number,
        form="digits",
        seconds=step.seconds * PLACES.factor,
    )


PLACES = Activity(
    slug="places",
    says="hears a number and tells its digits one by one",
    short="telling its digits",
    guess=0.05,
    factor=1.2,
    ask=_ask,
    judge=judging.spoken,
    suits=lambda number, _variant: number >= 10,
    freely=True,
    sheet="write",
)
