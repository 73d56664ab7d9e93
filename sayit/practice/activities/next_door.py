"""Next door: the number after, before, ten more, ten less."""

from sayit.numbers import HIGHEST, Judgement, slips
from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, Response, said

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


def _judge(question: Question, answer: Response) -> Judgement:
    """A name that may be reached by counting; what else was said is told by where it lies from the number asked about."""
    judged = judging.counted_on(question, answer)
    if judged.verdict != "wrong" or answer.verdict or judged.value is None:
        return judged
    number, step = question.about[0], _STEP[question.variant]
    went = judged.value - number
    if went == -step:
        return judging.noticed(judged, "wrong-direction")
    if went == 0:
        return judging.noticed(judged, "told-number")
    if abs(step) == 10 and abs(went) == 1:
        return judging.noticed(judged, "one-for-ten", *(("wrong-direction",) if went * step < 0 else ()))
    if abs(judged.value - question.value) == 1:
        return judging.noticed(judged, "off-by-one")
    # "ninety-one" after nineteen: the teen was taken for the ten that sounds like it.
    if judged.value - step >= 0 and slips(number, judged.value - step) == ("teen-ty-swap",):
        return judging.noticed(judged, "teen-ty-swap")
    return judged


NEXT_DOOR = Activity(
    slug="next-door",
    says="says the number after, before, ten more or ten less",
    short="next, before, ten more, ten less",
    guess=0.1,
    factor=1.2,
    ask=_ask,
    judge=_judge,
    variants=_variants,
    suits=_suits,
    about_answer=True,
    sheet="neighbours",
)
