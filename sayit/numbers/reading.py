"""From the words of an answer to its value, its form and how it was put together.

Reads what a recogniser or a person gives: hyphens, capitals, commas, fillers,
homophones, children's sounds, corrections ("forty, no, fifty").  Nothing is
refused: a malformed name gets the best reading there is and a named reason.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from sayit.numbers.words import (
    EXPECTED,
    FILLERS,
    MARKERS,
    SAME_SOUND,
    SPELLINGS,
    TEENS,
    TENS,
    UNITS,
)

__all__ = ["Reading", "read"]

_PLAIN, _EXPLICIT = 1, 2
_EITHER = _PLAIN | _EXPLICIT
_FORM_NAMES = {_PLAIN: "plain", _EXPLICIT: "explicit", _EITHER: "both", 0: "mixed"}
_SPLIT = re.compile(r"[a-z']+|\d+(?:,\d{3})+(?!\d)|\d+|,")
_FUSED = re.compile(rf"^({'|'.join(UNITS)})ten$|^({'|'.join(TENS)})({'|'.join(UNITS)})$")
_KNOWN = {"zero", "ten", "hundred", "thousand", *UNITS, *TEENS, *TENS}


@dataclass(frozen=True, slots=True)
class Reading:
    """An answer, read.

    ``form`` is one of ``plain``, ``explicit``, ``both`` (the name is the same in
    either form, or both were said), ``mixed`` (parts of both in one name),
    ``digits`` (digit by digit, or typed), ``counted`` ("one two three four") and
    ``none``.  ``places`` lists the parts of the name in the order said, as (place
    word, count): 5,020 is ``(("thousand", 5), ("ten", 2))``.  ``digits`` is the
    digit string of an answer said digit by digit, else None.  ``reasons`` names
    what is odd about the wording: ``not-a-number``, ``self-correction``,
    ``malformed``, ``mixed-form``, ``digit-by-digit``, ``counted``, ``glued-parts``.
    """

    words: str
    value: int | None
    form: str
    reasons: tuple[str, ...] = ()
    places: tuple[tuple[str, int], ...] = ()
    digits: str | None = None


@dataclass(frozen=True, slots=True)
class _Item:
    """One number within an answer; ``forms`` is a bit set of the forms it is said in."""

    value: int
    forms: int
    places: tuple[tuple[str, int], ...]
    single: bool = False
    typed: bool = False
    loose: bool = False
    """A place word standing alone where it cannot ("five thousand hundred")."""
    size: int = 1


def read(words: str) -> Reading:
    """Read an answer; see :class:`Reading`.  Never raises on text."""
    return _read(words)


@lru_cache(maxsize=4096)
def _read(words: str) -> Reading:
    tokens, breaks = _tokens(words)
    if not tokens:
        return Reading(words, None, "none", ("not-a-number",) if words.strip() else ())
    if len(tokens) == 1 and tokens[0].isdigit():
        return _typed(words, tokens)
    items, odd = _items(tokens, breaks)
    return _combined(words, items, odd)


def _tokens(words: str) -> tuple[list[str], set[int]]:
    """Number words in canonical spelling, and the places where a correction was marked."""
    raw = []
    for word in _SPLIT.findall(words.lower().replace("’", "'")):
        if word[0].isdigit() or word == ",":
            raw.append(word)
            continue
        word = SPELLINGS.get(word, word)
        fused = _FUSED.match(word) if word not in _KNOWN else None
        if fused:
            raw += [fused[1], "ten"] if fused[1] else [fused[2], fused[3]]
        else:
            raw.append(word)
    talk = any(
        word.isalpha() or "'" in word
        for word in raw
        if not (
            word in _KNOWN or word in SAME_SOUND or word in FILLERS or word in MARKERS or word in EXPECTED or word == "and"
        )
        and not word[0].isdigit()
        and word != ","
    )
    tokens: list[str] = []
    breaks: set[int] = set()
    for at, word in enumerate(raw):
        if word[0].isdigit():
            tokens.append(word.replace(",", ""))
        elif word in _KNOWN:
            tokens.append(word)
        elif word in SAME_SOUND:
            if not talk:
                tokens.append(SAME_SOUND[word])
        elif word in MARKERS:
            breaks.add(len(tokens))
        elif word == "a" and at + 1 < len(raw) and raw[at + 1] in ("hundred", "thousand"):
            tokens.append("one")
    return tokens, breaks


def _typed(words: str, tokens: list[str]) -> Reading:
    text = tokens[0].lstrip("0") or "0"
    value = int(text[:12])
    return Reading(words, value, "digits", (), (), tokens[0])


def _items(tokens: list[str], breaks: set[int]) -> tuple[list[_Item], bool]:
    """Cut the tokens into the longest numbers; True when a correction was marked."""
    last = max((at for at in breaks if at < len(tokens)), default=0)
    items, at = [], last
    while at < len(tokens):
        item = _number(tokens, at)
        items.append(item)
        at += item.size
    return items, last > 0


def _number(tokens: list[str], at: int) -> _Item:
    word = tokens[at]
    if word.isdigit():
        return _Item(int(word[:12]), _EITHER, (), typed=True)
    if word == "zero":
        return _Item(0, _EITHER, (("one", 0),), single=True)
    count, forms, places, size = _below_thousand(tokens, at)
    if size and at + size < len(tokens) and tokens[at + size] == "thousand":
        size += 1
        rest, more, parts, length = _below_thousand(tokens, at + size)
        # "two thousand five thousand" is two numbers, not 2,000 and a rest.
        if length and at + size + length < len(tokens) and tokens[at + size + length] == "thousand":
            rest, more, parts, length = 0, _EITHER, (), 0
        scaled = tuple((_thousands(place), digit) for place, digit in places)
        return _Item(count * 1000 + rest, forms & more, scaled + parts, size=size + length)
    if size:
        return _Item(count, forms, places, single=size == 1 and count < 10, size=size)
    if word == "thousand":
        rest, more, parts, length = _below_thousand(tokens, at + 1)
        return _Item(1000 + rest, more, (("thousand", 1), *parts), loose=at > 0, size=1 + length)
    return _Item(100, _EITHER, (("hundred", 1),), loose=at > 0)


def _thousands(place: str) -> str:
    return {"one": "thousand", "ten": "ten thousand", "hundred": "hundred thousand"}[place]


def _below_thousand(tokens: list[str], at: int) -> tuple[int, int, tuple[tuple[str, int], ...], int]:
    """Value, forms, places and length of the name of 1 to 999 at ``at``; length 0 if none."""
    if at >= len(tokens):
        return 0, _EITHER, (), 0
    word, follows = tokens[at], tokens[at + 1] if at + 1 < len(tokens) else ""
    if word in UNITS and follows == "hundred":
        rest, forms, places, size = _below_hundred(tokens, at + 2)
        # "two hundred five hundred" is two numbers.
        if size and at + 2 + size < len(tokens) and tokens[at + 2 + size] == "hundred":
            rest, forms, places, size = 0, _EITHER, (), 0
        return UNITS[word] * 100 + rest, forms, (("hundred", UNITS[word]), *places), 2 + size
    if word == "hundred" and at == 0:
        rest, forms, places, size = _below_hundred(tokens, at + 1)
        return 100 + rest, forms, (("hundred", 1), *places), 1 + size
    return _below_hundred(tokens, at)


def _below_hundred(tokens: list[str], at: int) -> tuple[int, int, tuple[tuple[str, int], ...], int]:
    none = (0, _EITHER, (), 0)
    if at >= len(tokens):
        return none
    word = tokens[at]
    after = tokens[at + 1] if at + 1 < len(tokens) else ""
    third = tokens[at + 2] if at + 2 < len(tokens) else ""
    if word in TENS:
        if after in UNITS and third not in ("ten", "hundred", "thousand"):
            return TENS[word] + UNITS[after], _PLAIN, (("ten", TENS[word] // 10), ("one", UNITS[after])), 2
        if after in UNITS and third == "thousand":
            return TENS[word] + UNITS[after], _PLAIN, (("ten", TENS[word] // 10), ("one", UNITS[after])), 2
        return TENS[word], _PLAIN, (("ten", TENS[word] // 10),), 1
    if word in TEENS:
        return TEENS[word], _PLAIN, (("ten", 1), ("one", TEENS[word] - 10)), 1
    if word in UNITS and after == "ten":
        return _tens(tokens, at + 2, UNITS[word], _EXPLICIT, 2)
    if word == "ten":
        if after == "ten":
            return 100, _EXPLICIT, (("ten", 10),), 2
        return _tens(tokens, at + 1, 1, _EITHER, 1)
    if word in UNITS:
        return UNITS[word], _EITHER, (("one", UNITS[word]),), 1
    return none


def _tens(tokens: list[str], at: int, count: int, forms: int, size: int):
    """The ones after "four-ten", unless they begin the next part ("four-ten five-ten")."""
    ones = UNITS.get(tokens[at], 0) if at < len(tokens) else 0
    follows = tokens[at + 1] if at + 1 < len(tokens) else ""
    if not ones or follows in ("ten", "hundred"):
        return count * 10, forms, (("ten", count),), size
    return count * 10 + ones, _EXPLICIT, (("ten", count), ("one", ones)), size + 1


def _combined(words: str, items: list[_Item], corrected: bool) -> Reading:
    """Join the numbers of one answer into one reading."""
    marked = ("self-correction",) if corrected else ()
    if len(items) == 1:
        return _single(words, items[0], marked)
    if all(item.single for item in items):
        return _digit_string(words, items, marked)
    values = [item.value for item in items]
    if all(item.typed for item in items):
        return Reading(words, int("".join(map(str, values))[:12]), "digits", (*marked, "glued-parts"), (), None)
    runs = _digit_runs(items)
    if len(runs) == 1:
        return _single(words, runs[0], marked)
    run_values = [item.value for item in runs]
    if not any(item.loose for item in runs) and len(set(run_values)) == 1:
        forms = 0
        for item in runs:
            forms |= item.forms
        spoken = max(runs, key=lambda item: len(item.places))
        return Reading(words, run_values[0], _FORM_NAMES.get(forms, "both"), marked, spoken.places)
    if len(values) > 2 and _counting(values):
        return Reading(words, values[-1], "counted", (*marked, "counted"), items[-1].places)
    if any(item.loose for item in runs):
        whole = next(item for item in runs if not item.loose)
        return Reading(words, whole.value, _FORM_NAMES[whole.forms], (*marked, "malformed"), whole.places)
    # Two numbers in one breath: the speaker thought again, and the last counts.
    last = runs[-1]
    read = _single(words, last, ("self-correction",))
    return read


def _counting(values: list[int]) -> bool:
    """One, two, three ... or ten, twenty, thirty ...: equal steps from the first step on."""
    step = values[0]
    return step in (1, 2, 5, 10, 100) and values == [step * (at + 1) for at in range(len(values))]


def _digit_string(words: str, items: list[_Item], marked: tuple[str, ...]) -> Reading:
    values = [item.value for item in items]
    digits = "".join(map(str, values))
    if len(values) > 2 and _counting(values):
        return Reading(words, values[-1], "counted", (*marked, "counted"), items[-1].places, digits)
    places = tuple(("one", value) for value in values)
    return Reading(words, int(digits[:12]), "digits", (*marked, "digit-by-digit"), places, digits)


def _digit_runs(items: list[_Item]) -> list[_Item]:
    """Join neighbouring single digits into one item each: "four five forty-five"."""
    runs: list[_Item] = []
    for item in items:
        previous = runs[-1] if runs else None
        if previous is not None and item.single and previous.single:
            runs[-1] = _Item(
                int(f"{previous.value}{item.value}"[:12]), 0, (*previous.places, *item.places), single=True
            )
        else:
            runs.append(item)
    return runs


def _single(words: str, item: _Item, marked: tuple[str, ...]) -> Reading:
    if item.single and len(item.places) > 1:
        digits = "".join(str(digit) for _, digit in item.places)
        return Reading(words, item.value, "digits", (*marked, "digit-by-digit"), item.places, digits)
    form = _FORM_NAMES[item.forms]
    reasons = (*marked, "mixed-form") if form == "mixed" else marked
    return Reading(words, item.value, form, reasons, item.places)
