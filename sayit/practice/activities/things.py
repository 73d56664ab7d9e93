"""Things: hear a number and build it with ones, tens, hundreds and thousands."""

from sayit.practice.activities.activity import Activity, differs, forms
from sayit.practice.activities.built import built
from sayit.practice.layout import HIGHEST, frame_of
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, Shown, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "things",
        variant,
        about,
        (said("ask.things", number=Named(number, variant)),),
        way="digits",
        value=number,
        form="digits",
        seconds=step.seconds * THINGS.factor,
        # What lies there to build with does not tell how large the number is.
        show=Shown("tray", (), frame=frame_of(max(number, min(HIGHEST, step.numbers[len(step.numbers) - 1])))),
    )


THINGS = Activity(
    slug="things",
    says="hears a number and builds it with things",
    short="building it with things",
    guess=0.05,
    factor=2.5,
    ask=_ask,
    judge=built,
    variants=forms,
    suits=lambda number, variant: 1 <= number <= HIGHEST and (variant == "plain" or differs(number)),
    freely=True,
)
