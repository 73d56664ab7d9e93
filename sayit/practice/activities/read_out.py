"""Read out: see digits and say the number."""

from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity, differs, forms
from sayit.practice.path import Step
from sayit.practice.question import Question, Shown, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "read-out",
        variant,
        about,
        (said(f"ask.read-out-{variant}"),),
        way="spoken",
        value=number,
        form=variant if differs(number) else "any",
        seconds=step.seconds,
        show=Shown("digits", about),
    )


READ_OUT = Activity(
    slug="read-out",
    says="sees digits and says the number",
    short="reading its digits",
    guess=0.05,
    factor=1.0,
    ask=_ask,
    judge=judging.spoken,
    variants=forms,
    suits=lambda number, variant: variant == "plain" or differs(number),
    freely=True,
    sheet="read",
)
