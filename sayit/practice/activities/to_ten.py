"""To ten: hear one part of ten and say the other."""

from sayit.numbers import Judgement, Reading, read
from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, Response, said


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    return Question(
        step.slug,
        "to-ten",
        variant,
        about,
        (said("ask.to-ten", number=Named(number)),),
        way="spoken",
        value=10 - number,
        form="any",
        seconds=step.seconds,
    )


def _judge(question: Question, answer: Response) -> Judgement:
    """The other part; so is "seven and three", with the part that was given said first."""
    judged = judging.quantity(question, answer)
    if answer.verdict or not answer.words or not answer.sure:
        return judged
    reading = answer.words if isinstance(answer.words, Reading) else read(answer.words)
    if reading.form == "counted" and reading.numbers == (*question.about, question.value):
        return Judgement(question.value, "any", judged.heard, question.value, "right", ())
    if judged.verdict == "wrong" and judged.value in (question.about[0], 10):
        return judging.noticed(judged, "told-number")
    return judged


TO_TEN = Activity(
    slug="to-ten",
    says="hears one part of ten and says the other",
    short="the part that makes ten",
    guess=0.12,
    factor=1.0,
    ask=_ask,
    judge=_judge,
    suits=lambda number, _variant: 1 <= number <= 9,
    sheet="to-ten",
)
