"""Glimpse: see a quantity for a second and say how many."""

from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity
from sayit.practice.layout import MOST
from sayit.practice.path import Step
from sayit.practice.question import Question, Shown, said

SECONDS = 1.0
"""How long the things are seen: too short to count more than three or four of them."""


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "glimpse",
        variant,
        about,
        (said("ask.glimpse"),),
        way="spoken",
        value=number,
        form="any",
        seconds=step.seconds,
        show=Shown("quantity", about, SECONDS),
    )


GLIMPSE = Activity(
    slug="glimpse",
    says="sees things for a second and says how many",
    short="seeing how many",
    guess=0.15,
    factor=1.0,
    ask=_ask,
    judge=judging.quantity,
    seen=True,
    suits=lambda number, _variant: 1 <= number <= MOST,
    freely=True,
    sheet="things",
)
