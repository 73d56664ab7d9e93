"""Hear one name of a number and say its other name."""

from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity, differs, forms
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    heard = "plain" if variant == "explicit" else "explicit"
    return Question(
        step.slug,
        "other-way",
        variant,
        about,
        (said(f"ask.other-way-{variant}", number=Named(number, heard)),),
        way="spoken",
        value=number,
        form=variant,
        seconds=step.seconds,
    )


OTHER_WAY = Activity(
    slug="other-way",
    says="hears one name of a number and says its other name",
    short="saying its other name",
    guess=0.1,
    factor=1.0,
    ask=_ask,
    judge=judging.spoken,
    variants=forms,
    suits=lambda number, _variant: differs(number),
    freely=True,
    sheet="names",
)
