"""What was wanted, what was heard and why it was judged so, in plain words for a parent."""

from sayit.numbers import FORMS, Judgement, explain, name

_FORMS = {
    "plain": "plain form",
    "explicit": "tens form",
    "both": "the same in both forms",
    "any": "either form",
    "mixed": "both forms mixed",
    "digits": "digit by digit",
    "counted": "counted up",
    "none": "no number",
}

_ODD = {
    "not-a-number": "no number in it",
    "self-correction": "corrected on the way; the last number counts",
    "malformed": "not put together as a number name is",
    "mixed-form": "both forms in one name",
    "digit-by-digit": "the digits were told one by one",
    "counted": "counted up one by one",
    "glued-parts": "the parts were written one after the other",
}


def form_in_words(form: str) -> str:
    """A form slug as a parent reads it."""
    return _FORMS.get(form, form)


def odd_in_words(reason: str) -> str:
    """What is odd about the wording of an answer (a reason of a ``Reading``)."""
    return _ODD.get(reason, reason.replace("-", " "))


def wanted_in_words(value: int, form: str) -> str:
    """What was to be said, such as "45, four-ten five"."""
    return f"{value:,}, {name(value, form if form in FORMS else 'plain')}"


def why_in_words(judgement: Judgement) -> str:
    """What was heard, what was asked, and why it was judged so, as one sentence."""
    return explain(judgement)
