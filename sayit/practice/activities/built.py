"""Judging a number built from digits.

The reasons follow the syntactic errors that children make when they write
dictated numbers: zeros dropped, or the parts of the name written one after the
other (Power & Dal Martello 1990, Language and Cognitive Processes 5; Seron &
Fayol 1994, British Journal of Developmental Psychology 12; Barrouillet, Camos,
Perruchet & Seron 2004, Psychological Review 111; from memory).
"""

from sayit.numbers import ERROR_CLASS, FORMS, Judgement, judge, name, read
from sayit.practice.activities.judging import by_parent, unclear
from sayit.practice.question import Answer, Question

_MOST_DIGITS = 24


def built(question: Question, answer: Answer) -> Judgement:
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
    verdict = "right" if value == question.value else "wrong"
    why = () if verdict == "right" else reasons(question.value, typed)
    return Judgement(question.value, "digits", typed, value, verdict, why)


def reasons(asked: int, typed: str) -> tuple[str, ...]:
    """Why digits differ from the number asked: the judge's reasons for what was written, not for how.

    To those of ``sayit.numbers`` comes one that only writing shows: each word of the
    name written as it stands, "four-ten five" as 4105.
    """
    if typed in _word_by_word(asked):
        return ("glued-parts",)
    judged = judge(asked, "plain", typed.lstrip("0") or "0")
    return tuple(reason for reason in judged.reasons if ERROR_CLASS.get(reason) in ("lexical", "syntactic"))


def _word_by_word(asked: int) -> set[str]:
    written = set()
    for form in FORMS:
        words = name(asked, form).replace("-", " ").split()
        written.add("".join(str(read(word).value) for word in words))
    return written - {str(asked)}
