"""Names of whole numbers, plain and explicit.

A plain name is everyday English: "forty-five". An explicit name says how many
tens there are: "four-ten five". Hundreds and thousands are the same in both.
"""

from functools import lru_cache
from itertools import product
from typing import Literal, get_args

from sayit.errors import SayitError
from sayit.numbers.words import HIGHEST, TEENS, TENS, UNITS, ZEROS

__all__ = ["FORMS", "Form", "as_form", "check", "name", "variants"]

Form = Literal["plain", "explicit"]
FORMS: tuple[Form, ...] = get_args(Form)

_DIGITS = ("", *UNITS)
_UNDER_TWENTY = ("", *UNITS, "ten", *TEENS)
_TENS = ("", "", *TENS)


def as_form(text: str) -> Form:
    """``text`` as a form; :class:`~sayit.SayitError` where it is none."""
    for form in FORMS:
        if text == form:
            return form
    raise SayitError(f"No form called {text!r}: choose plain or explicit.")


def check(value: int, form: Form = "plain") -> None:
    """Raise :class:`~sayit.SayitError` unless ``value`` has a name in ``form``."""
    as_form(form)
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= HIGHEST:
        raise SayitError(f"No name for {str(value)[:40]}: give a whole number from 0 to {HIGHEST:,}.")


def _plain_pair(value: int) -> str:
    if value < 20:
        return _UNDER_TWENTY[value]
    tens, ones = divmod(value, 10)
    return f"{_TENS[tens]}-{_DIGITS[ones]}" if ones else _TENS[tens]


def _explicit_pair(value: int) -> str:
    tens, ones = divmod(value, 10)
    if not tens:
        return _DIGITS[ones]
    return f"{_DIGITS[tens]}-ten {_DIGITS[ones]}" if ones else f"{_DIGITS[tens]}-ten"


_PAIRS = {
    "plain": tuple(map(_plain_pair, range(100))),
    "explicit": tuple(map(_explicit_pair, range(100))),
}


@lru_cache(maxsize=4)
def _groups(form: Form, use_and: bool) -> tuple[str, ...]:
    """Names of 0 to 999; that of 0 is empty."""
    pairs, joint = _PAIRS[form], " hundred and " if use_and else " hundred "
    hundreds = (f"{digit}{joint}{pair}" if pair else f"{digit} hundred" for digit in _DIGITS[1:] for pair in pairs)
    return (*pairs, *hundreds)


def name(value: int, form: Form = "plain", *, use_and: bool = False) -> str:
    """The name of ``value``, 0 to 999,999, in one form.

    Without ``use_and`` there is neither "and" nor comma. With it the name is the
    British one that num2words gives, to the letter: "and" before what is below a
    hundred, and a comma where hundreds follow thousands ("two thousand, one
    hundred and five"). Explicit names are joined in the same way.

    >>> name(45), name(45, "explicit"), name(4030, "explicit", use_and=True)
    ('forty-five', 'four-ten five', 'four thousand and three-ten')

    Raises :class:`~sayit.SayitError` for anything but a whole number in range,
    and for another form.
    """
    check(value, form)
    groups = _groups(form, bool(use_and))
    if value < 1000:
        return groups[value] or ZEROS[0]
    thousands, rest = divmod(value, 1000)
    if not rest:
        return groups[thousands] + " thousand"
    if not use_and:
        return f"{groups[thousands]} thousand {groups[rest]}"
    return f"{groups[thousands]} thousand{' and' if rest < 100 else ','} {groups[rest]}"


def variants(value: int, form: Form = "plain") -> tuple[str, ...]:
    """All wordings of ``value`` that count as right in one form, the usual one first.

    Words are parted by single spaces, without hyphens or commas, as a recogniser
    writes them, and all are in ``VOCABULARY``. There are names with and without
    "and" after a place word, "a hundred" beside "one hundred" at the start, "oh"
    and "nought" for zero, and in explicit form "ten five" for 15, "ten" for 10 and
    "ten ten" for 100. Reading takes still more, such as "fifteen hundred".

    Raises :class:`~sayit.SayitError` as :func:`name` does.
    """
    check(value, form)
    if value == 0:
        return ZEROS
    thousands, rest = divmod(value, 1000)
    if not thousands:
        more = ("ten ten",) if value == 100 and form == "explicit" else ()
        return (*_with_a(_group_variants(value, form)), *more)
    heads = _with_a(_group_variants(thousands, form))
    if thousands == 1:
        heads += ("a",)
    if not rest:
        return tuple(f"{head} thousand" for head in heads)
    joints = (" ", " and ") if rest < 100 else (" ",)
    tails = _group_variants(rest, form)
    return tuple(f"{head} thousand{joint}{tail}" for head, joint, tail in product(heads, joints, tails))


def _with_a(names: tuple[str, ...]) -> tuple[str, ...]:
    return (*names, *("a" + found[3:] for found in names if found.startswith("one hundred")))


@lru_cache(maxsize=2000)
def _group_variants(value: int, form: Form) -> tuple[str, ...]:
    """Wordings of 1 to 999, without those with "a"."""
    hundreds, pair = divmod(value, 100)
    pairs = [_PAIRS[form][pair].replace("-", " ")]
    if form == "explicit" and 10 <= pair < 20:
        pairs.append(pairs[0].removeprefix("one "))
    if not hundreds:
        return tuple(pairs)
    start = f"{_DIGITS[hundreds]} hundred"
    if not pair:
        return (start,)
    return tuple(f"{start}{joint}{end}" for joint, end in product((" ", " and "), pairs))
