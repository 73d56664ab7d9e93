"""Judging a number built from digits."""

from sayit.numbers import Judgement, slips
from sayit.practice.activities.judging import by_parent, unclear
from sayit.practice.question import Question, Response

_MOST_DIGITS = 24


def built(question: Question, answer: Response) -> Judgement:
    """Digits (spaces and commas do not matter) against the question's value.

    Zeros in front are let pass: on a row of places the first may stay empty or
    hold a zero, and the value is the same.
    """
    if parent := by_parent(question, answer):
        return parent
    typed = "".join(sign for sign in answer.digits or "" if sign not in " ,.\u00a0\u202f'")
    if not (typed.isascii() and typed.isdigit()) or len(typed) > _MOST_DIGITS:
        return unclear(question, answer.digits or "")
    value = int(typed)
    if value == question.value:
        return Judgement(question.value, "digits", typed, value, "right", ())
    return Judgement(question.value, "digits", typed, value, "wrong", slips(question.value, value))
