"""Names of numbers in plain English and in explicit tens form.

The explicit form says how many tens and ones there are, as number names in
several East Asian languages do (Miura et al. 1993; Ho & Fuson 1998): 45 is
"four-ten five", 5,020 is "five thousand two-ten".
"""

from __future__ import annotations

from functools import cache
from typing import Literal

from sayit.errors import SayitError
from sayit.numbers.words import HIGHEST, TEENS, TENS, UNITS

__all__ = ["FORMS", "Form", "name", "variants"]

Form = Literal["plain", "explicit"]
FORMS: tuple[Form, ...] = ("plain", "explicit")

_ONES = {value: word for word, value in UNITS.items()}
_TEENS = {value: word for word, value in TEENS.items()} | {10: "ten"}
_TENS = {value: word for word, value in TENS.items()}


def name(value: int, form: Form = "plain", *, use_and: bool = False) -> str:
    """Name a whole number from 0 to 999,999.

    ``use_and`` puts "and" before what is below a hundred ("five hundred and
    two"), as num2words does; its comma after "thousand" is not written.

    Raises :class:`~sayit.SayitError` for any other number or form.
    """
    if isinstance(value, bool) or not isinstance(value, int):
        raise SayitError(f"{value!r} is not a whole number: give one from 0 to {HIGHEST:,}.")
    if not 0 <= value <= HIGHEST:
        raise SayitError(f"{value:,} has no name here: give a whole number from 0 to {HIGHEST:,}.")
    try:
        below = _below_thousand(form, use_and)
    except KeyError:
        raise SayitError(f"No form called {form!r}: choose plain or explicit.") from None
    thousands, rest = divmod(value, 1000)
    if not thousands:
        return below[rest] or "zero"
    if not rest:
        return below[thousands] + " thousand"
    joint = " thousand and " if use_and and rest < 100 else " thousand "
    return below[thousands] + joint + below[rest]


def variants(value: int, form: Form = "plain") -> tuple[str, ...]:
    """Every accepted way to say ``value`` in ``form``, the standard name first.

    With and without "and", "a hundred" and "hundred" for "one hundred", "ten" and
    "ten five" for "one-ten" and "one-ten five", "ten-ten" for a hundred asked as
    ten tens, "oh" and "nought" for zero.
    """
    standard = name(value, form)
    if value == 0:
        return standard, "oh", "nought"
    found = [standard, name(value, form, use_and=True)]
    if form == "explicit":
        # Only a leading or inner "one-ten" may lose its digit word.
        found += [text.replace("one-ten", "ten") for text in found]
        if value == 100:
            found.append("ten-ten")
    for place in ("hundred", "thousand"):
        for text in tuple(found):
            if text.startswith(f"one {place}"):
                found += [text.replace(f"one {place}", f"a {place}", 1), text.replace(f"one {place}", place, 1)]
    return tuple(dict.fromkeys(found))


@cache
def _below_thousand(form: str, use_and: bool) -> tuple[str, ...]:
    below = {"plain": _plain_below_hundred, "explicit": _explicit_below_hundred}[form]
    hundred = tuple(below(value) for value in range(100))
    joint = " hundred and " if use_and else " hundred "

    def one(value: int) -> str:
        digit, rest = divmod(value, 100)
        if not digit:
            return hundred[rest]
        return _ONES[digit] + (joint + hundred[rest] if rest else " hundred")

    return tuple(one(value) for value in range(1000))


def _plain_below_hundred(value: int) -> str:
    if value < 10:
        return _ONES.get(value, "")
    if value < 20:
        return _TEENS[value]
    tens, ones = divmod(value, 10)
    return _TENS[tens * 10] + (f"-{_ONES[ones]}" if ones else "")


def _explicit_below_hundred(value: int) -> str:
    tens, ones = divmod(value, 10)
    if not tens:
        return _ONES.get(ones, "")
    return f"{_ONES[tens]}-ten" + (f" {_ONES[ones]}" if ones else "")
