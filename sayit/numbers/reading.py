"""From the words of an answer to its value, its form and how it was put together.

Takes what a recogniser or a person gives and refuses nothing: a malformed name
gets the best reading there is and a named reason.
"""

from dataclasses import dataclass
from functools import cache, lru_cache

from sayit.numbers.naming import FORMS, variants
from sayit.numbers.parts import (
    EITHER,
    EXPLICIT,
    MOST_DIGITS,
    PLAIN,
    NumberFinder,
    NumberPart,
    Places,
    as_thousands,
    pair_places,
    said_singly,
)
from sayit.numbers.tokens import AND, BREAK, INSTEAD, NOT, UNIT, ZERO, Tokens, tokenise
from sayit.numbers.words import HIGHEST

__all__ = ["Reading", "read"]

_FORMS = ("mixed", "plain", "explicit", "both")
_MOST_OTHERS = 8


@dataclass(frozen=True, slots=True)
class Reading:
    """An answer, read.

    ``value`` is the number, None where there is none. ``form`` is

    - ``plain`` or ``explicit``;
    - ``both``: the name is the same in either form ("five hundred"), or the number was said in both;
    - ``mixed``: parts of both forms in one name ("fifteen thousand four-ten");
    - ``digits``: digit by digit ("three two two seven"); ``digits`` is then the string "3227";
    - ``counted``: counted up by ones, tens, hundreds or thousands from the first, in three
      steps or more; the value is the last number. "one two" is too short to tell and
      counts as digits. ``digits`` is given if all were single digits;
    - ``none``.

    ``places`` are the parts in the order said, as (place word, count): "four
    thousand three-ten" is ``(("thousand", 4), ("ten", 3))``. A number typed in
    figures has the form in which it is read out, which is plain.

    ``reasons`` names what is unusual about the wording: ``digit-by-digit``,
    ``counted``, ``mixed-form``, ``made-up-word`` ("fivety"), ``teen-for-ten``
    ("fourteen five" for 45), ``uncommon-name`` ("twenty hundred"), ``zero-named``
    ("four thousand zero hundred three-ten"), ``malformed`` (a place word too many),
    ``self-correction`` ("forty, no, fifty": the last number counts), ``two-numbers``
    (the same without a word for it), ``repeated``, ``repeated-part`` ("forty-five,
    five"), ``taken-back`` ("forty, no"), ``other-words`` (other talk beside the
    number), ``typed``, and, without a value, ``not-a-number``, ``not-a-whole-number``
    and ``too-big``. ``others`` are values that the words could mean as well.
    """

    words: str
    value: int | None
    form: str
    reasons: tuple[str, ...] = ()
    places: Places = ()
    digits: str | None = None
    others: tuple[int, ...] = ()


@lru_cache(maxsize=8192)
def read(words: str) -> Reading:
    """Read an answer given as text; see :class:`Reading`. Raises nothing, whatever the text.

    Hyphens, capitals, fillers ("um", "I think it's"), homophones ("to", "ate")
    and children's sounds ("firty") do not matter. A comma or a pause does not end a
    number, for children pause inside one: "twenty, five" is 25. A full stop does:
    "Twenty. Five." are two numbers, of which the last counts. Homophones that are
    everyday words are numbers only where no other talk stands around them.

    >>> read("four-ten five").value, read("four-ten five").form
    (45, 'explicit')
    """
    table = _names()
    head, thousand, tail = words.lower().replace("-", " ").replace(", ", " ").partition(" thousand")
    known = table.get(" " + head)
    if known and known[0]:
        value, mask, places, scaled = known
        if not thousand:
            return Reading(words, value, _FORMS[mask], (), places)
        rest = table.get(tail)
        if rest and mask & rest[1]:
            return Reading(words, value * 1000 + rest[0], _FORMS[mask & rest[1]], (), scaled + rest[2])
    return _read_freely(words)


@cache
def _names() -> dict[str, tuple[int, int, Places, Places]]:
    """All names of 0 to 999 as they follow "thousand", with value, forms, places and places as thousands."""
    table: dict[str, tuple[int, int, Places, Places]] = {"": (0, EITHER, (), ())}
    for value in range(1, 1000):
        hundreds, rest = divmod(value, 100)
        for form, mask in zip(FORMS, (PLAIN, EXPLICIT), strict=True):
            for words in variants(value, form):
                if words.startswith("a ") or words == "ten ten":
                    continue
                places = ((("hundred", hundreds),) if hundreds else ()) + pair_places(rest)
                found = (value, mask | table.get(" " + words, (0, 0, (), ()))[1], places, as_thousands(places))
                table[" " + words] = found
                if value < 100:
                    table[" and " + words] = found
    return table


def _read_freely(words: str) -> Reading:
    tokens = tokenise(words)
    names = NumberFinder(tokens)
    if tokens.trouble:
        return Reading(words, None, "none", (tokens.trouble,))
    aside = (
        *(("typed",) if tokens.typed else ()),
        *(("made-up-word",) if tokens.made_up else ()),
        *(("other-words",) if tokens.talk else ()),
    )
    if counted := _counted(tokens):
        value, digits = counted
        return Reading(words, value, "counted", ("counted", *aside), (), digits)
    found = names.parts()
    parts, marks = _kept(found, names.kinds)
    numbers = [part for part in parts if not part.stray]
    if len(numbers) < len(parts):
        marks += ("malformed",)
    if not numbers:
        return Reading(words, None, "none", tuple(dict.fromkeys(("not-a-number", *marks, *aside))))
    if len(numbers) > 1 and all(part.single for part in numbers) and _only_breaks(numbers, names.kinds):
        digits = "".join(str(part.value) for part in numbers)
        numbers = [said_singly(numbers[0].start, numbers[-1].end, digits)]
    last, more, others = _last(numbers, tokens.words)
    if "self-correction" in marks and parts[0] is not found[0]:
        others += _end_put_right(found[found.index(parts[0]) - 1], last)
    if len(last.digits) > MOST_DIGITS:
        return Reading(words, None, "digits", ("digit-by-digit", "too-big", *aside), (), last.digits)
    form = "digits" if last.digits else _FORMS[last.forms]
    own = {"digits": ("digit-by-digit",), "mixed": ("mixed-form",)}.get(form, ())
    reasons = tuple(dict.fromkeys((*own, *last.odd, *marks, *more, *aside)))
    likely = dict.fromkeys(other for other in (*last.others, *others) if other != last.value and other <= HIGHEST)
    return Reading(words, last.value, form, reasons, last.places, last.digits or None, tuple(likely)[:_MOST_OTHERS])


def _kept(parts: list[NumberPart], kinds: list[int]) -> tuple[list[NumberPart], tuple[str, ...]]:
    """The parts that the speaker stands by, and reasons for those dropped."""
    if NOT in kinds:
        # Only the number straight behind it is denied: "not forty, fifty".
        denied = [part for part in parts if part.start and kinds[part.start - 1] == NOT]
        if denied:
            kept = [part for part in parts if part not in denied]
            return kept, ("self-correction",) if kept else ("taken-back",)
    if INSTEAD not in kinds or not parts:
        return parts, ()
    last = len(kinds) - 1 - kinds[::-1].index(INSTEAD)
    if parts[-1].end <= last:
        return parts, ("taken-back",)
    kept = [part for part in parts if part.start > last]
    return kept, ("self-correction",) if len(kept) < len(parts) else ()


def _only_breaks(parts: list[NumberPart], kinds: list[int]) -> bool:
    return all(kind in (UNIT, ZERO, BREAK) for kind in kinds[parts[0].start : parts[-1].end])


def _last(parts: list[NumberPart], words: list[str]) -> tuple[NumberPart, tuple[str, ...], tuple[int, ...]]:
    """The number that counts of those said, why, and what else the words could mean."""
    reasons: tuple[str, ...] = ()
    while len(parts) > 1 and _echoes(parts[-2], parts[-1], words):
        parts = parts[:-1]
        reasons = ("repeated-part",)
    last = parts[-1]
    if len(parts) == 1:
        return last, reasons, ()
    same = [part for part in parts if part.value == last.value]
    if len(same) == len(parts):
        named = [part for part in same if not part.digits] or same
        last = max(named, key=lambda part: len(part.places))
        for part in named:
            last.forms |= part.forms
        return last, ("repeated", *reasons), ()
    joined = int("".join(part.digits or str(part.value) for part in parts)[:MOST_DIGITS])
    said = tuple(value for part in reversed(parts[:-1]) for value in (part.value, *part.others))
    return last, ("two-numbers", *reasons), (joined, *_end_put_right(parts[-2], last), *said)


def _end_put_right(before: NumberPart, last: NumberPart) -> tuple[int, ...]:
    """What is meant where only the end is put right, as in "four thousand fifty, no, thirty"."""
    size = 10 ** len(str(last.value))
    return (before.value // size * size + last.value,) if before.value >= size else ()


def _echoes(before: NumberPart, part: NumberPart, words: list[str]) -> bool:
    """Whether a part only says the end of the number before it again."""
    spoken = words[part.start : part.end]
    whole = words[before.start : before.end]
    return len(spoken) < len(whole) and whole[-len(spoken) :] == spoken and before.value != part.value


_STEPS = (1, 10, 100, 1000)
_FEWEST_STEPS = 3


def _counted(tokens: Tokens) -> tuple[int, str | None] | None:
    """The last number of an answer that counts up to it, and its digits if all were single digits."""
    words = [word for word, kind in zip(tokens.words, tokens.kinds, strict=True) if kind not in (AND, BREAK)]
    if len(words) < _FEWEST_STEPS:
        return None
    for step in _STEPS:
        at, value = 0, 0
        while at < len(words):
            length = next(
                (len(name) for name in _wordings(value + step) if tuple(words[at : at + len(name)]) == name), 0
            )
            if not length:
                break
            at, value = at + length, value + step
        # "one two three four. Four." says the last number once more.
        again = value > _FEWEST_STEPS * step and tuple(words[at:]) in _wordings(value)
        if value >= _FEWEST_STEPS * step and (at == len(words) or again):
            single = all(kind in (UNIT, AND, BREAK) for kind in tokens.kinds)
            digits = "".join(
                str(digit) for digit, kind in zip(tokens.values, tokens.kinds, strict=True) if kind == UNIT
            )
            return value, digits if single else None
    return None


@lru_cache(maxsize=256)
def _wordings(value: int) -> tuple[tuple[str, ...], ...]:
    """Wordings of a number as tuples of words, the longest first."""
    if value > 9000:
        return ()
    found = {tuple(words.split()) for form in FORMS for words in variants(value, form)}
    return tuple(sorted(found, key=len, reverse=True))
