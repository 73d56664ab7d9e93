"""Grow: name a quantity and see it grow as the parts of its name are heard."""

from sayit.numbers import as_form
from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity, differs, forms
from sayit.practice.layout import HIGHEST
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, Shown, said

_HEARD = "heard"
"""The everyday name is heard, nothing is shown, and the tens name fills the frame."""


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    heard = variant == _HEARD
    form = "explicit" if heard else as_form(variant)
    return Question(
        step.slug,
        "grow",
        variant,
        about,
        (said("ask.grow-heard", number=Named(number)) if heard else said(f"ask.grow-{variant}"),),
        way="spoken",
        value=number,
        form=form if differs(number) else "any",
        seconds=step.seconds,
        show=None if heard else Shown("quantity", about),
        grows=True,
    )


GROW = Activity(
    slug="grow",
    says="names a number and sees it grow while it speaks",
    short="making it with its voice",
    guess=0.05,
    factor=1.0,
    ask=_ask,
    judge=judging.spoken,
    variants=lambda step: (*forms(step), _HEARD) if "explicit" in step.forms else forms(step),
    suits=lambda number, variant: 1 <= number <= HIGHEST and (variant == "plain" or differs(number)),
    freely=True,
)
