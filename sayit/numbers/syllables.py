"""Syllables of number names, and when clapping them gives the digits."""

from dataclasses import dataclass

from sayit.errors import SayitError
from sayit.numbers.homophones import canonical
from sayit.numbers.naming import Form, name
from sayit.numbers.words import PLACES, TEENS, TENS, UNITS, VOCABULARY, ZEROS

__all__ = ["DigitRule", "digit_rule", "syllables"]

_SPLIT = {
    word.replace(".", ""): tuple(word.split("."))
    for word in """
    ze.ro oh nought one two three four five six sev.en eight nine ten e.lev.en twelve
    thir.teen four.teen fif.teen six.teen sev.en.teen eigh.teen nine.teen
    twen.ty thir.ty for.ty fif.ty six.ty sev.en.ty eigh.ty nine.ty
    hun.dred thou.sand and a dou.ble tri.ple
    """.split()
}

_STANDS_FOR = {
    **dict.fromkeys((*ZEROS, *UNITS), 1),
    **dict.fromkeys((*TEENS, *TENS), 2),
    **{word: len(str(place)) - 1 for word, place in PLACES.items()},
}
"""How many digits a word writes; for a place word, its zeros."""

_COUNTED = ("no", "one", "two", "three")


def syllables(text: str) -> tuple[str, ...]:
    """Syllables of a number name or of any number words, in order.

    The parts are split for clapping (``"sev", "en"``), not for typesetting; their
    number agrees with CMUdict. Digits are taken as their plain name. Text without
    words has none.

    Raises :class:`~sayit.SayitError` for a word that is no number word.
    """
    found: list[str] = []
    for word in text.lower().replace("-", " ").replace(",", " ").split():
        if word in _SPLIT:
            found += _SPLIT[word]
        elif word.isascii() and word.isdigit() and len(word) <= 6:
            found += syllables(name(int(word)))
        else:
            words = canonical(word)
            if not all(known in _SPLIT for known in words) or not words:
                raise SayitError(f"No syllables known for {word!r}: use number words, such as {VOCABULARY[7]!r}.")
            for known in words:
                found += _SPLIT[known]
    return tuple(found)


@dataclass(frozen=True, slots=True)
class DigitRule:
    """Whether the syllables of a number's name count its digits.

    ``syllables`` are those of ``name`` (without "and"), ``digits`` is the number as
    written, ``fits`` tells whether there are as many of one as of the other.
    ``reasons`` tells what speaks against the rule in this name, as slugs
    (``seven-has-two``, ``thousand-has-two``, ``places-filled``...); two can cancel
    out, as in "seven thousand", where the rule fits by accident. ``why`` holds a
    sentence for each reason.
    """

    value: int
    form: str
    name: str
    syllables: tuple[str, ...]
    digits: str
    fits: bool
    reasons: tuple[str, ...]
    why: tuple[str, ...]


def digit_rule(value: int, form: Form = "explicit") -> DigitRule:
    """Compare the syllables of a name with the digits of its number.

    In explicit form a whole ten, hundred or thousand has a syllable a digit: three-ten
    2 and 2, four hundred 3 and 3. The rule breaks at "seven" (two syllables, one
    digit), at "thousand" (two syllables, three zeros: five thousand 3 against 4),
    at "zero", and where a place is filled instead of left at zero (four-ten five 3
    against 2). Plain names fit only here and there.

    Raises :class:`~sayit.SayitError` as :func:`sayit.numbers.name` does.
    """
    said = name(value, form)
    parts = syllables(said)
    digits = str(int(value))
    words = said.replace("-", " ").split()
    # A plain "ten" is the number, both digits of it, and no place word.
    stands_for = _STANDS_FOR | {"ten": 2} if form == "plain" else _STANDS_FOR
    reasons, why = [], []
    for word in dict.fromkeys(words):
        claps, written = len(_SPLIT[word]), stands_for[word]
        if claps == written:
            continue
        reasons.append(f"{word}-has-{_COUNTED[claps]}")
        what = f"{_COUNTED[written]} zeros" if word == "thousand" else f"{_COUNTED[written]} digit{'s' * (written > 1)}"
        why.append(f"{word.capitalize()} has {_COUNTED[claps]} syllable{'s' * (claps > 1)} and stands for {what}.")
    if sum(stands_for[word] for word in words) > len(digits):
        reasons.append("places-filled")
        why.append("A place is filled by the words after it, so its zeros are clapped and not written.")
    return DigitRule(int(value), form, said, parts, digits, len(parts) == len(digits), tuple(reasons), tuple(why))
