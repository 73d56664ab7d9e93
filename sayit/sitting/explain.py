"""What was wanted, what was heard and why it was judged so, in plain words for a parent."""

from sayit.numbers import FORMS, HIGHEST, IN_WORDS, Judgement, explain, name

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

_WORDING = {
    "not-a-number": "no number in it",
    "self-correction": "corrected on the way; the last number counts",
    "two-numbers": "more than one number; the last one counts",
    "repeated": "said more than once",
    "repeated-part": "its end was said once more",
    "zero-named": "the empty places were named too",
    "malformed": "not put together as a number name is",
    "mixed-form": "everyday and tens name mixed in one",
    "teen-for-ten": "a teen where so many tens must be meant; they sound alike",
    "made-up-word": "a word made up by rule, such as fivety",
    "uncommon-name": "hundreds counted past nine, such as twenty hundred",
    "digit-by-digit": "the digits were told one by one",
    "counted": "counted up one by one",
    "taken-back": "taken back, without another number",
    "other-words": "other talk beside the number",
    "typed": "written in figures",
    "not-a-whole-number": "no whole number",
    "too-big": f"more than {HIGHEST:,}",
}
"""What the reasons of a ``Reading`` say about a wording, whatever was asked."""


def form_in_words(form: str) -> str:
    """A form slug as a parent reads it."""
    return _FORMS.get(form, form)


def odd_in_words(reason: str) -> str:
    """What is odd about the wording of an answer (a reason of a ``Reading``)."""
    return _WORDING[reason]


def wanted_in_words(value: int, form: str) -> str:
    """What was to be said, such as "45, four-ten five" or, put down or told, "5,020 as digits"."""
    if form == "digits":
        return f"{value:,} as digits"
    return f"{value:,}, {name(value, form if form in FORMS else 'plain')}"


def reason_in_words(judgement: Judgement) -> str:
    """Why it was judged so, where what was heard and wanted stands beside it: "Teen and ty swapped."; "" for a right answer."""
    why = ", ".join(IN_WORDS[reason] for reason in judgement.reasons)
    if not why or judgement.verdict == "right":
        return ""
    return f"{why[0].upper()}{why[1:]}."


def why_in_words(judgement: Judgement) -> str:
    """What was heard, what was wanted, and why it was judged so, as one sentence."""
    return explain(judgement)
