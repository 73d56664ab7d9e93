"""Next door: the number after, before, ten more, ten less."""

from sayit.numbers import HIGHEST
from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, said

_STEP = {"next": 1, "before": -1, "ten-more": 10, "ten-less": -10}


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "next-door",
        variant,
        about,
        (said(f"ask.{variant}", number=Named(number)),),
        way="spoken",
        value=number + _STEP[variant],
        form="any",
        seconds=step.seconds * NEXT_DOOR.factor,
    )


def _suits(number: int, variant: str) -> bool:
    smallest = 10 if variant in ("ten-more", "ten-less") else 1
    return number >= smallest and 0 <= number + _STEP[variant] <= HIGHEST


def _variants(step: Step) -> tuple[str, ...]:
    largest = step.numbers[len(step.numbers) - 1]
    return tuple(_STEP) if largest >= 20 else ("next", "before")


NEXT_DOOR = Activity(
    slug="next-door",
    says="says the number after, before, ten more or ten less",
    short="next, before, ten more, ten less",
    guess=0.1,
    factor=1.2,
    ask=_ask,
    judge=judging.counted_on,
    variants=_variants,
    suits=_suits,
    about_answer=True,
    sheet="neighbours",
)
