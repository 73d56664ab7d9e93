"""What was wanted, what was heard and why it was judged so, in plain words for a parent."""

from sayit.numbers.judging import Judgement, slips
from sayit.numbers.naming import FORMS, name
from sayit.numbers.reasons import REASONS

__all__ = ["explain", "form_in_words", "reason_in_words", "wanted_in_words"]

_FORMS = {
    "plain": "everyday name",
    "explicit": "tens name",
    "both": "everyday and tens name alike",
    "any": "either name",
    "mixed": "both names mixed",
    "digits": "digit by digit",
    "counted": "counted up",
    "none": "no number",
}


def form_in_words(form: str) -> str:
    """A form slug as a parent reads it."""
    return _FORMS.get(form, form)


def wanted_in_words(value: int, form: str, *, use_and: bool = False) -> str:
    """What was to be said, such as "45, four-ten five" or, put down or told, "4,030 as digits"."""
    return f"{value:,} as digits" if form == "digits" else f"{value:,}, {_named(value, form, use_and)}"


def reason_in_words(judgement: Judgement) -> str:
    """Why it was judged so, where what was heard and wanted stands beside it: "Teen and ty swapped."; "" if right."""
    why = _why(judgement)
    return f"{why[0].upper()}{why[1:]}." if why and judgement.verdict != "right" else ""


def explain(judgement: Judgement, *, use_and: bool = False) -> str:
    """The judgement as one sentence for the parent; with ``use_and`` what was wanted is "three hundred and two".

    >>> from sayit.numbers.judging import judge
    >>> explain(judge(13, "plain", "thirty"))
    'Heard thirty, wanted thirteen: teen and ty swapped.'
    """
    heard = " ".join(judgement.heard.split()) or "nothing"
    wanted = _wanted(judgement, use_and, in_figures=heard.isdecimal())
    if judgement.value is None and heard != "nothing":
        heard = f"“{heard}”"
    why = _why(judgement)
    if judgement.verdict == "right":
        return f"Heard {heard}: right{f', {why}' if why else ''}."
    if judgement.verdict == "unclear":
        return f"Heard {heard}, wanted {wanted}: {why or 'not clear'}; ask again."
    if judgement.verdict == "other-form":
        return f"Heard {heard}, wanted {wanted}: the number is right, {why or 'said by another name'}."
    return f"Heard {heard}, wanted {wanted}: {why or 'another number'}."


def _why(judgement: Judgement) -> str:
    reasons = judgement.reasons
    # "By twos" tells that it was counted.
    told = [reason for reason in reasons if reason != "counted" or not any(one.startswith("by-") for one in reasons)]
    return ", ".join(_words(reason, judgement) for reason in told)


def _words(reason: str, judgement: Judgement) -> str:
    """What is said of a reason, as it is true of this number and this answer."""
    asked, value = judgement.asked, judgement.value
    if value is not None and reason in _TOO:
        return f"{_TOO[reason]} too {'many' if value > asked else 'few'}"
    if value is not None and reason == "teen-ty-swap" and reason not in slips(asked, value):
        return f"{REASONS[reason].words} in the question"
    return REASONS[reason].words


_TOO = {"off-by-one": "one", "off-by-ten": "one ten"}


def _wanted(judgement: Judgement, use_and: bool, *, in_figures: bool) -> str:
    """What was wanted, in the way in which the answer was given where that shows the difference best."""
    if judgement.form == "digits":
        digits = str(judgement.asked)
        return digits if in_figures else " ".join(name(int(digit)) for digit in digits)
    return _named(judgement.asked, judgement.form, use_and)


def _named(value: int, form: str, use_and: bool) -> str:
    """The name in that form, as it is said; where either form will do, the plain one."""
    return name(value, next((known for known in FORMS if known == form), "plain"), use_and=use_and).replace(",", "")
