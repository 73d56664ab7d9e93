"""Say back: hear a number and say the same."""

from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity, differs, forms
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    # Where both names are one, either "form" is right.
    form = variant if differs(number) else "any"
    return Question(
        step.slug,
        "say-back",
        variant,
        about,
        (said("ask.say-back", number=Named(number, variant)),),
        way="spoken",
        value=number,
        form=form,
        seconds=step.seconds,
    )


SAY_BACK = Activity(
    slug="say-back",
    says="hears a number and says it back",
    short="saying it back",
    guess=0.3,
    factor=1.0,
    ask=_ask,
    judge=judging.spoken,
    variants=forms,
    suits=lambda number, variant: variant == "plain" or differs(number),
    counts=False,
    freely=True,
)
