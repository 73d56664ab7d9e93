"""Checks of arguments that several commands share; each complaint is one line."""

import math
import re
from argparse import ArgumentParser, _SubParsersAction
from pathlib import Path
from typing import TypeAlias

from sayit.errors import SayitError
from sayit.numbers import FORMS, HIGHEST

Subparsers: TypeAlias = "_SubParsersAction[ArgumentParser]"
"""What a command is added to."""

_LIMIT = f"{HIGHEST:,}"
_GROUPED = re.compile(r"\d+|\d{1,3}(,\d{3})+", re.ASCII)


def whole_number(text: str) -> int:
    """A whole number from 0 to 999,999, digits with or without commas between the thousands."""
    tidy = text.strip()
    digits = tidy.removeprefix("+")
    if _GROUPED.fullmatch(digits):
        digits = digits.replace(",", "").lstrip("0") or "0"
        if len(digits) <= len(str(HIGHEST)) and int(digits) <= HIGHEST:
            return int(digits)
        raise SayitError(f"{tidy} is too large: give a whole number from 0 to {_LIMIT}.")
    if tidy.startswith(("-", "\u2212")) and _GROUPED.fullmatch(tidy[1:]):
        raise SayitError(f"{tidy} is below zero: give a whole number from 0 to {_LIMIT}.")
    if re.fullmatch(r"[-+\u2212]?(\d*[.,]\d+|\d+[.,])", tidy):
        raise SayitError(f"{tidy} is not a whole number: give one from 0 to {_LIMIT}, without a decimal part.")
    if re.search(r"[^\W\d_]", tidy):
        raise SayitError(f"{tidy!r} is not written in digits: give a number such as 45 (for words: sayit read).")
    raise SayitError(f"{tidy!r} is not a number: give a whole number from 0 to {_LIMIT}.")


def form(text: str) -> str:
    """One form, "plain" or "explicit"."""
    if text not in FORMS:
        raise SayitError(f"There is no form {text!r}: choose plain (forty-five) or explicit (four-ten five).")
    return text


def forms(text: str) -> tuple[str, ...]:
    """The forms meant by "plain", "explicit" or "both"."""
    if text == "both":
        return FORMS
    if text not in FORMS:
        raise SayitError(f"There is no form {text!r}: choose plain (forty-five), explicit (four-ten five) or both.")
    return (text,)


def number_range(text: str) -> tuple[int, int]:
    """Two whole numbers with a dash between them, the smaller one first."""
    low, dash, high = text.partition("-")
    if not dash:
        raise SayitError(f"{text!r} is no range: give two numbers with a dash, such as 1-100.")
    first, last = whole_number(low), whole_number(high)
    if first > last:
        raise SayitError(f"{text} runs backwards: give the smaller number first, such as {last}-{first}.")
    return first, last


def seconds(text: str) -> float:
    """A time in seconds, as a number."""
    return _number(text, "seconds")


def minutes(text: str) -> float:
    """A time in minutes, above zero and at most 240."""
    value = _number(text, "minutes")
    if not 0 < value <= 240:
        raise SayitError(f"{text} minutes make no sitting: give a number above 0, such as 10.")
    return value


def seed(text: str) -> int:
    """A whole number that the record can hold: at most 18 digits."""
    if not re.fullmatch(r"[-+]?\d{1,18}", text.strip(), re.ASCII):
        shown = text if len(text) <= 24 else f"{text[:20]}..."
        raise SayitError(f"{shown!r} is no seed: give a whole number of at most 18 digits, such as 7.")
    return int(text)


def path(text: str) -> Path:
    """The path of a file or folder, there or not; ``SayitError`` for one that no file can have."""
    try:
        Path(text).stat()
    except (FileNotFoundError, NotADirectoryError):
        pass
    except (OSError, ValueError) as error:
        shown = text if len(text) <= 60 else f"{text[:40]}... ({len(text):,} letters)"
        why = getattr(error, "strerror", None) or "no file can be called so"
        raise SayitError(f"{shown} cannot be used ({why}): choose another path.") from error
    return Path(text)


def positive_whole(text: str) -> int:
    """A whole number from 1 on."""
    value = whole_number(text)
    if value < 1:
        raise SayitError(f"{text} is too small: give a whole number from 1 on.")
    return value


def _number(text: str, what: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise SayitError(f"{text!r} is no number of {what}: write it like 1.5.")
    return value


def add_form(parser: ArgumentParser, default: str | None = "plain") -> None:
    """``--form``, with "plain" where it is left out."""
    parser.add_argument(
        "--form",
        type=form,
        default=default,
        metavar="plain|explicit",
        help="plain (the everyday name: forty-five) or explicit (the tens name: four-ten five); plain if left out",
    )
