"""What is said after an answer: never that it was wrong, always the right answer."""

from sayit.numbers import Judgement
from sayit.practice.activities.activity import differs
from sayit.practice.activities.claps import CLAPS, lesson
from sayit.practice.activities.things import THINGS
from sayit.practice.followups import FollowUp
from sayit.practice.layout import HIGHEST
from sayit.practice.question import Named, Question, Response, Said, said
from sayit.practice.telling import holds_answer

_DIGITS = 10
"""From here on a number has digits to tell; below, they are its name again."""

_MIDDLING = 100
_LONG = 1_000
"""From here on a number's name leaves no room for more than the answer."""

CALL = "Three questions in a row had no answer. Come and sit beside your child for a moment; then go on, or leave it for today."
"""Said to the parent who is called."""


def reply(
    question: Question, judgement: Judgement, level: str, after: FollowUp | None = None, *, later: bool = False
) -> tuple[Said, ...]:
    """All that is said after a judged answer; ``later``: other questions come before this one comes back."""
    say = after.say if after else ()
    counted = "counted" in judgement.reasons
    if judgement.verdict == "other-form":
        named = answer_of(question)
        return (said("reply.counted" if counted else f"reply.other-form-{named.form}", number=named),)
    if own := _built(question, judgement, level == "missed"):
        return own
    if level == "missed":
        if holds_answer(say):
            return say
        soon = (said("reply.comes-back"),) if later and not say and question.value < _LONG else ()
        return (model(question), *say, *(soon if question.way != "digits" else ()))
    if question.ask == CLAPS.called("digits"):
        return (said("reply.good"), lesson(question.about[0]))
    if say and say[0].key == "follow.counted":
        # "You got there" before it would be too much to listen to.
        return (said("reply.counted-short", number=answer_of(question)), *say)
    return (said("reply.counted" if counted or after else "reply.yes", number=answer_of(question)), *say)


def _built(question: Question, judgement: Judgement, missed: bool) -> tuple[Said, ...]:
    """What was built with things, by both its names where these are short enough, and what was asked for."""
    value = judgement.value
    if question.activity != THINGS.slug or value is None or value > (_LONG - 1 if missed else HIGHEST):
        return ()
    if differs(value) and not (missed and value >= _MIDDLING):
        own = said("reply.built-both", number=Named(value), tens=Named(value, "explicit"))
    else:
        own = said("reply.built", number=Named(value, answer_of(question).form))
    if missed:
        return own, model(question)
    return (own, said("reply.good")) if value < _LONG else (own,)


def model(question: Question) -> Said:
    """The right answer, in the form that was asked for."""
    if question.way == "digits" and question.activity != THINGS.slug and question.value >= _DIGITS:
        return said("reply.model-built", number=answer_of(question), digits=Named(question.value, "digits"))
    return said("reply.model", number=answer_of(question))


def once_more(answer: Response) -> Said:
    """Asking for the answer again: nothing came, it was no number, or it was not clear."""
    if answer.digits:
        return said("reply.again-built")
    if answer.words:
        return said("reply.again")
    return said("reply.not-heard" if answer.response_seconds is None else "reply.not-a-number")


def nothing_came(answer: Response) -> bool:
    """Whether the child said and did nothing at all."""
    words = answer.words if isinstance(answer.words, str | None) else answer.words.words
    return not (words or answer.digits or answer.verdict) and answer.choice is None and answer.response_seconds is None


def answer_of(question: Question) -> Named:
    """The number expected, in the form expected; one that was built, in the form in which it was asked."""
    form = question.variant if question.way == "digits" else question.form
    return Named(question.value, "plain" if form == "any" else form)
