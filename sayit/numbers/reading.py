"""From the words of an answer to its value, its form and how it was put together.

Takes what a recogniser or a person gives and refuses nothing: a malformed name
gets the best reading there is and a named reason.
"""

from dataclasses import dataclass
from functools import cache, lru_cache

from sayit.numbers.counts import counted
from sayit.numbers.naming import FORMS, name, variants
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
from sayit.numbers.placed import place_by_place, said_in_pieces
from sayit.numbers.tokens import AND, BREAK, INSTEAD, NOT, ONES, OR, TEN, UNIT, ZERO, Tokens, tokenise
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
    - ``counted``: three numbers or more that count to the last ("twenty-eight, twenty-nine, thirty", "ten, twenty,
      thirty"), or two and their sum ("five and three"); the value is the last, or the sum. "one two" is too short
      to tell and counts as digits, and so do single digits that do not begin at one: they may be either.
      ``digits`` is given if all were single digits;
    - ``none``.

    ``places`` are the parts in the order said, as (place word, count): "four
    thousand three-ten" is ``(("thousand", 4), ("ten", 3))``. A number typed in
    figures has the form in which it is read out, which is plain.

    ``reasons`` names what is unusual about the wording: ``digit-by-digit``,
    ``counted`` (and ``by-twos``, ``by-fives`` or ``by-tens``), ``mixed-form``, ``made-up-word`` ("fivety"), ``teen-for-ten``
    ("fourteen five" for 45), ``uncommon-name`` ("twenty hundred"), ``zero-named``
    ("four thousand zero hundred three-ten"), ``malformed`` (a place word too many),
    ``self-correction`` ("forty, no, fifty": the last number counts), ``two-numbers``
    (the same without a word for it), ``repeated``, ``repeated-part`` ("forty-five,
    five"), ``taken-back`` ("forty, no"), ``other-words`` (other talk beside the
    number), ``typed``, and, without a value, ``not-a-number``, ``not-a-whole-number``
    and ``too-big``. ``undecided`` is "forty-five or fifty-four", ``decade-overrun`` "twenty-ten" (30 is the first of
    ``others`` then), ``ones-first`` "five ones and four tens". ``others`` are values that the words could mean as well,
    ``numbers`` are all numbers said, where there are several.
    """

    words: str
    value: int | None
    form: str
    reasons: tuple[str, ...] = ()
    places: Places = ()
    digits: str | None = None
    others: tuple[int, ...] = ()
    numbers: tuple[int, ...] = ()


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
    if whole := _whole(words, tokens, aside):
        return whole
    named = _named(words, tokens, names, aside)
    if not _both_names(tokens, named) and (sum_or_count := _counted(tokens)):
        value, how = sum_or_count
        single = all(kind in (ZERO, UNIT, AND, BREAK, ONES) for kind in tokens.kinds)
        digits = "".join(
            str(told) for told, kind in zip(tokens.values, tokens.kinds, strict=True) if kind in (ZERO, UNIT)
        )
        others = (named.value, *(named.others if AND in tokens.kinds else ())) if named.value is not None else ()
        told = digits if single and AND not in tokens.kinds else None
        if told and (tokens.values[0] != 1 or how != ("counted",)):
            return named
        likely = tuple(other for other in dict.fromkeys(others) if other != value and str(other) != told)
        return Reading(words, value, "counted", (*how, *aside), (), told, likely[:_MOST_OTHERS], named.numbers)
    return named


def _whole(words: str, tokens: Tokens, aside: tuple[str, ...]) -> Reading | None:
    """An answer that tells a number place by place, or a name word by word with full stops."""
    kinds, values = tokens.kinds, tokens.values
    if joined := said_in_pieces(tokens):
        known = _names().get(" " + joined)
        if known and known[0]:
            stray = tuple(dict.fromkeys(value for value in reversed(values) if 0 < value != known[0]))
            return Reading(words, known[0], _FORMS[known[1]], aside, known[2], None, stray[:_MOST_OTHERS])
    if kinds[:1] == [TEN] and values == [10, 1, 100]:
        return Reading(words, 1000, "both", ("uncommon-name", *aside), (), None, (110, 100, 10))
    if placed := place_by_place(tokens):
        value, places, reasons = placed
        usual = _named(words, tokens, NumberFinder(tokens), ())
        others = tuple(other for other in (usual.value, *usual.others) if other not in (None, value))
        form = "explicit" if any(place == "ten" for place, _ in places) else "both"
        return Reading(words, value, form, (*reasons, *aside), places, None, others)
    return None


def _both_names(tokens: Tokens, named: Reading) -> bool:
    """Whether just the two names were said: "two-ten two, twenty-two" is no count of two, twelve, twenty-two."""
    if named.form != "both" or named.value is None:
        return False
    said = [word for word, kind in zip(tokens.words, tokens.kinds, strict=True) if kind != BREAK]
    plain, explicit = (name(named.value, form).replace("-", " ").split() for form in FORMS)
    return said in ([*plain, *explicit], [*explicit, *plain])


def _counted(tokens: Tokens) -> tuple[int, tuple[str, ...]] | None:
    """What an answer counts to, or adds up to: "five and three", "five and three: eight"."""
    kinds, values = tokens.kinds, tokens.values
    if kinds[:3] == [UNIT, AND, UNIT]:
        total = values[0] + values[2]
        if len(kinds) == 3 or (len(kinds) == 4 and values[3] == total):
            return total, ("counted",)
    return counted([word for word, kind in zip(tokens.words, kinds, strict=True) if kind not in (AND, BREAK, ONES)])


def _named(words: str, tokens: Tokens, names: NumberFinder, aside: tuple[str, ...]) -> Reading:
    """The last name of a number that stands in the words."""
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
    said = tuple(part.value for part in numbers) if len(numbers) > 1 else ()
    last, more, others = _last(numbers, tokens.words)
    if "self-correction" in marks and parts[0] is not found[0]:
        others += _end_put_right(found[found.index(parts[0]) - 1], last)
    if len(last.digits) > MOST_DIGITS:
        return Reading(words, None, "digits", ("digit-by-digit", "too-big", *aside), (), last.digits)
    form = "digits" if last.digits else _FORMS[last.forms]
    own = {"digits": ("digit-by-digit",), "mixed": ("mixed-form",)}.get(form, ())
    reasons = tuple(dict.fromkeys((*own, *last.odd, *marks, *more, *aside)))
    likely = dict.fromkeys(other for other in (*last.others, *others) if other != last.value and other <= HIGHEST)
    return Reading(
        words, last.value, form, reasons, last.places, last.digits or None, tuple(likely)[:_MOST_OTHERS], said
    )


def _kept(parts: list[NumberPart], kinds: list[int]) -> tuple[list[NumberPart], tuple[str, ...]]:
    """The parts that the speaker stands by, and reasons for those dropped."""
    if NOT in kinds:
        # Only the number straight behind it is denied: "not forty, fifty".
        denied = [part for part in parts if part.start and kinds[part.start - 1] == NOT]
        if denied:
            kept = [part for part in parts if part not in denied]
            return kept, ("self-correction",) if kept else ("taken-back",)
    if INSTEAD not in kinds or not parts:
        return parts, ("undecided",) if _undecided(parts, kinds) else ()
    last = len(kinds) - 1 - kinds[::-1].index(INSTEAD)
    if parts[-1].end <= last:
        return parts, ("taken-back",)
    kept = [part for part in parts if part.start > last]
    return kept, ("self-correction",) if len(kept) < len(parts) else ()


def _undecided(parts: list[NumberPart], kinds: list[int]) -> bool:
    """Whether an "or" stands between two different numbers."""
    if OR not in kinds:
        return False
    at = kinds.index(OR)
    before, after = ({part.value for part in parts if (part.start < at) is early} for early in (True, False))
    return bool(before and after and before != after)


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
    before = parts[-2]
    if before.end == last.start and before.value in range(20, 91, 10) and 10 <= last.value <= 19:
        # "twenty-nine, twenty-ten", "twenty-eleven"
        return last, ("two-numbers", "decade-overrun", *reasons), (before.value + last.value, joined, *said)
    return last, ("two-numbers", *reasons), (joined, *_end_put_right(before, last), *said)


def _end_put_right(before: NumberPart, last: NumberPart) -> tuple[int, ...]:
    """What is meant where only the end is put right, as in "four thousand fifty, no, thirty"."""
    size = 10 ** len(str(last.value))
    return (before.value // size * size + last.value,) if before.value >= size else ()


def _echoes(before: NumberPart, part: NumberPart, words: list[str]) -> bool:
    """Whether a part only says the end of the number before it again."""
    spoken = words[part.start : part.end]
    whole = words[before.start : before.end]
    return len(spoken) < len(whole) and whole[-len(spoken) :] == spoken and before.value != part.value
