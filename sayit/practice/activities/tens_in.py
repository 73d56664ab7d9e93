"""Tens in: how many tens (or hundreds) are in a number."""

from sayit.numbers import Judgement, Reading, read
from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, Response, said

_SIZE = {"tens": 10, "hundreds": 100}


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "tens-in",
        variant,
        about,
        (said(f"ask.{variant}-in", number=Named(number)),),
        way="spoken",
        value=number // _SIZE[variant],
        form="any",
        seconds=step.seconds,
    )


def _suits(number: int, variant: str) -> bool:
    # 45 has four tens and some, but for 345 "four" and "thirty-four" would both
    # be answers, so from a hundred on only whole tens are asked.
    size = _SIZE[variant]
    return number >= size and (number % size == 0 or number < 100)


def _judge(question: Question, answer: Response) -> Judgement:
    """How many, or "five tens", which the ear cannot tell from "five-ten"; "fifty" is only the number itself."""
    judged = judging.quantity(question, answer)
    if question.variant != "tens" or answer.verdict or not answer.words or not answer.sure:
        return judged
    reading = answer.words if isinstance(answer.words, Reading) else read(answer.words)
    counted_in_tens = reading.form == "explicit" and reading.places[:1] == (("ten", question.value),)
    # "Twelve tens" is no name of a number.
    twelve_tens = (
        reading.reasons == ("two-numbers",) and reading.places == (("ten", 1),) and question.value in reading.others
    )
    if counted_in_tens or twelve_tens:
        return Judgement(question.value, "any", judged.heard, question.value, "right", ())
    return _told_another(question, judged)


def _told_another(question: Question, judged: Judgement) -> Judgement:
    """What was told in place of how many tens: the number, its ones, or the digit in the tens' place."""
    number, value = question.about[0], judged.value
    if judged.verdict != "wrong" or value is None:
        return judged
    if value in (number, number // 10 * 10):
        return judging.noticed(judged, "told-number")
    if value == number % 10:
        return judging.noticed(judged, "told-ones")
    if number >= 100 and value == number // 10 % 10:
        return judging.noticed(judged, "told-tens-digit")
    return judged


TENS_IN = Activity(
    slug="tens-in",
    says="hears a number and says how many tens are in it",
    short="how many tens",
    guess=0.15,
    factor=1.0,
    ask=_ask,
    judge=_judge,
    variants=lambda step: ("tens", "hundreds") if _several_hundreds(step) else ("tens",),
    suits=_suits,
    until_at_once=True,
    tells_number=False,
)


def _several_hundreds(step: Step) -> bool:
    return step.numbers[len(step.numbers) - 1] >= 200
