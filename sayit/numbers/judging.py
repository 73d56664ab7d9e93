"""Was the answer right in value and form, and if not, how did it go wrong?

The reasons follow the published taxonomy of number transcoding errors: lexical
errors take a wrong number word in a right frame, syntactic errors break the
frame of places (Power & Dal Martello 1990; Seron & Fayol 1994; Barrouillet,
Camos, Perruchet & Seron 2004; class by class from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from sayit.errors import SayitError
from sayit.numbers.naming import FORMS, Form, name
from sayit.numbers.reading import Reading, read

__all__ = ["ERROR_CLASS", "Judgement", "explain", "judge"]

ERROR_CLASS = {
    "teen-ty-swap": "lexical",
    "off-by-one": "lexical",
    "off-by-ten": "lexical",
    "other-number": "lexical",
    "digits-swapped": "syntactic",
    "lost-zero": "syntactic",
    "added-zero": "syntactic",
    "wrong-place-word": "syntactic",
    "glued-parts": "syntactic",
    "dropped-part": "syntactic",
    "malformed": "syntactic",
    "mixed-form": "form",
    "digit-by-digit": "form",
    "counted": "form",
    "self-correction": "none",
    "not-a-number": "none",
    "not-sure": "none",
}
"""Reason to its class: ``lexical``, ``syntactic``, ``form`` (a way of saying) or ``none`` (no error)."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """The verdict on one answer.

    ``verdict`` is ``right`` (value and form), ``other-form`` (value right, said
    otherwise than asked), ``wrong``, or ``unclear`` (no number heard, or not surely
    enough to judge: ask again).
    """

    asked: int
    form: str
    heard: str
    value: int | None
    verdict: str
    reasons: tuple[str, ...] = ()


def judge(asked: int, form: Form, heard: str | Reading, *, sure: bool = True) -> Judgement:
    """Judge an answer to ``asked`` in ``form``.

    ``sure`` is false where the listener could not tell two numbers apart; the
    verdict is then ``unclear``, whatever was heard.  Raises
    :class:`~sayit.SayitError` for a number or form that has no name.
    """
    if form not in FORMS:
        raise SayitError(f"No form called {form!r}: choose plain or explicit.")
    name(asked)
    reading = heard if isinstance(heard, Reading) else read(heard)
    if reading.value is None:
        return Judgement(asked, form, reading.words, None, "unclear", reading.reasons)
    if not sure:
        return Judgement(asked, form, reading.words, reading.value, "unclear", ("not-sure",))
    odd = reading.reasons
    if reading.form == "digits" and _counts_up_to(reading.digits, asked):
        return Judgement(asked, form, reading.words, asked, "other-form", ("counted",))
    if reading.value == asked:
        fits = reading.form in (form, "both") and "malformed" not in odd
        return Judgement(asked, form, reading.words, asked, "right" if fits else "other-form", odd)
    how = _how(asked, reading)
    reasons = tuple(dict.fromkeys((*how, *odd)))
    return Judgement(asked, form, reading.words, reading.value, "wrong", reasons)


def explain(judgement: Judgement) -> str:
    """One sentence for the parent: what was heard and why it was judged so."""
    asked = name(judgement.asked, judgement.form)
    if judgement.verdict == "unclear":
        if "not-sure" in judgement.reasons:
            return f"Perhaps “{judgement.heard}”, but not surely enough to judge: ask again."
        return "No number was heard: ask again."
    if judgement.verdict == "right":
        return f"“{asked}”: right."
    sentences = [_SENTENCES[reason] for reason in judgement.reasons if reason in _SENTENCES]
    if judgement.verdict == "other-form":
        return " ".join(["The value is right, said another way.", *sentences])
    return " ".join([f"Heard {judgement.value:,}, asked {judgement.asked:,}.", *sentences])


_SENTENCES = {
    "teen-ty-swap": "A teen and a ty number were swapped.",
    "digits-swapped": "Two digits changed places.",
    "lost-zero": "A zero was lost.",
    "added-zero": "A zero too many.",
    "wrong-place-word": "The digits are right, a place word is not.",
    "glued-parts": "The parts were written one after the other.",
    "dropped-part": "A part was left out.",
    "digit-by-digit": "It was said digit by digit.",
    "counted": "It was counted up to.",
    "off-by-one": "One away.",
    "off-by-ten": "Ten away.",
    "other-number": "Another number.",
    "malformed": "The name is not put together as a number name.",
    "mixed-form": "Both forms were mixed in one name.",
    "self-correction": "It was put right along the way; the last number counts.",
}


def _counts_up_to(digits: str | None, asked: int) -> bool:
    return digits is not None and 2 <= len(digits) <= 9 and digits == "123456789"[:asked] and len(digits) == asked


def _how(asked: int, reading: Reading) -> tuple[str, ...]:
    value = reading.value
    if reading.form == "counted":
        return ("counted",)
    if _teen_ty(asked, value):
        return ("teen-ty-swap",)
    wanted, got = str(asked), str(value)
    if got in _glued(asked):
        return ("glued-parts",)
    if len(wanted) == len(got) and sorted(wanted) == sorted(got) and wanted.replace("0", "") != got.replace("0", ""):
        return ("digits-swapped",)
    if len(got) < len(wanted) and got in _without_zeros(wanted):
        return ("lost-zero",)
    if len(wanted) < len(got) and wanted in _without_zeros(got):
        return ("added-zero",)
    if wanted.replace("0", "") == got.replace("0", ""):
        return ("wrong-place-word",)
    if _is_part(wanted, got):
        return ("dropped-part",)
    if abs(asked - value) == 1:
        return ("off-by-one",)
    if abs(asked - value) == 10:
        return ("off-by-ten",)
    return ("other-number",)


def _teen_ty(asked: int, value: int) -> bool:
    """13 and 30, 214 and 240, 15,000 and 50,000: one pair swapped, the rest the same."""
    for scale in (1, 1000):
        one, other = asked // scale % 100, value // scale % 100
        if asked - one * scale == value - other * scale:
            for teen, ty in ((one, other), (other, one)):
                if 12 <= teen <= 19 and ty == (teen - 10) * 10:
                    return True
    return False


def _parts(value: int) -> list[int]:
    """5,020 is 5,000 and 20; 345 is 300, 40 and 5."""
    digits = str(value)
    return [int(digit) * 10 ** (len(digits) - at - 1) for at, digit in enumerate(digits) if digit != "0"]


def _glued(value: int) -> set[str]:
    """What the parts of a number look like written one after the other, in any grouping."""
    parts = _parts(value)
    found = set()
    for cuts in range(1, len(parts)):
        for where in combinations(range(1, len(parts)), cuts):
            edges = (0, *where, len(parts))
            found.add("".join(str(sum(parts[a:b])) for a, b in zip(edges, edges[1:], strict=False)))
    return found


def _without_zeros(digits: str) -> set[str]:
    """Digit strings that are left when one zero or more is lost."""
    found, edge = set(), {digits}
    while edge:
        edge = {text[:at] + text[at + 1 :] for text in edge for at, digit in enumerate(text) if digit == "0"} - found
        found |= edge
    return found


def _is_part(wanted: str, got: str) -> bool:
    """Every digit of the answer stands where it should, and some are missing."""
    padded = got.zfill(len(wanted))
    return len(padded) == len(wanted) and all(g in ("0", w) for g, w in zip(padded, wanted, strict=True))
