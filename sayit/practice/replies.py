"""What is said after an answer: never that it was wrong, always the right answer."""

from sayit.numbers import Judgement
from sayit.practice.activities.claps import CLAPS, lesson
from sayit.practice.question import Named, Question, Response, Said, said


def reply(question: Question, judgement: Judgement, level: str) -> tuple[Said, ...]:
    """What to say after a judged answer."""
    if judgement.verdict == "other-form":
        named = answer_of(question)
        return (said(f"reply.other-form-{named.form}", number=named),)
    if level == "missed":
        return (model(question),)
    yes = said("reply.yes", number=answer_of(question))
    if question.ask == CLAPS.called("digits"):
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
