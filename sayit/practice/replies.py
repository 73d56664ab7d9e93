"""What is said after an answer: never that it was wrong, always the right answer."""

from dataclasses import dataclass

from sayit.numbers import Judgement
from sayit.practice.activities.claps import lesson
from sayit.practice.followups import FollowUp
from sayit.practice.learner import Past
from sayit.practice.question import Named, Question, Response, Said, said


@dataclass(frozen=True, slots=True)
class Outcome:
    """What follows from an answer.

    ``level`` is "fluent", "correct", "slow", "untimed", "missed" or "unclear".
    ``reply`` is all that is said to the child before the next question. ``follow_up`` is
    the next step where there is one, ``note`` a plain sentence for the parent ("" for
    none), ``past`` what the record keeps (None while unclear), ``step`` the new step where this
    answer completed one.
    """

    question: Question
    judgement: Judgement
    level: str
    reply: tuple[Said, ...]
    follow_up: FollowUp | None = None
    note: str = ""
    past: Past | None = None
    step: str | None = None


def reply(question: Question, judgement: Judgement, level: str) -> tuple[Said, ...]:
    """What to say after a judged answer."""
    if judgement.verdict == "other-form":
        named = answer_of(question)
        return (said(f"reply.other-form-{named.form}", number=named),)
    if level == "missed":
        return (model(question),)
    yes = said("reply.yes", number=answer_of(question))
    if question.ask == "claps:digits":
        return (yes, lesson(question.about[0]))
    return (yes,)


def model(question: Question) -> Said:
    """The right answer, in the form that was asked for."""
    if question.way == "digits":
        return said("reply.model-built", number=answer_of(question), digits=Named(question.value, "digits"))
    return said("reply.model", number=answer_of(question))


def once_more(answer: Response) -> Said:
    """Asking for the answer again: nothing came, it was no number, or it was not clear."""
    if answer.digits:
        return said("reply.again-built")
    if answer.words:
        return said("reply.again")
    return said("reply.not-heard" if answer.response_seconds is None else "reply.not-a-number")


def answer_of(question: Question) -> Named:
    """The number expected, in the form expected; one that was built, in the form in which it was asked."""
    form = question.variant if question.way == "digits" else question.form
    return Named(question.value, "plain" if form == "any" else form)
