"""From the words of an answer to its value, its form and how it was put together.

Takes what a recogniser or a person gives and refuses nothing: a malformed name
gets the best reading there is and a named reason.
"""

from dataclasses import dataclass
from functools import cache, lru_cache

from sayit.numbers.naming import variants
from sayit.numbers.tokens import (
    AND,
    BREAK,
    END,
    HUNDRED,
    INSTEAD,
    NOT,
    REPEAT,
    TALK,
    TEEN,
    TEN,
    THOUSAND,
    TY,
    UNIT,
    ZERO,
    Tokens,
    tokenise,
)  # fmt: skip
from sayit.numbers.words import HIGHEST

__all__ = ["Reading", "read"]

Places = tuple[tuple[str, int], ...]

_PLAIN, _EXPLICIT = 1, 2
_EITHER = _PLAIN | _EXPLICIT
_APART = (INSTEAD, NOT, BREAK, TALK)
_FORMS = ("mixed", "plain", "explicit", "both")
_MOST_ZEROS, _MOST_DIGITS, _MOST_OTHERS = 3, 12, 8


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

    ``places`` are the parts in the order said, as (place word, count): "five
    thousand two-ten" is ``(("thousand", 5), ("ten", 2))``. A number typed in
    figures has the form in which it is read out, which is plain.

    ``reasons`` names what is unusual about the wording: ``digit-by-digit``,
    ``counted``, ``mixed-form``, ``made-up-word`` ("fivety"), ``teen-for-ten``
    ("fourteen five" for 45), ``uncommon-name`` ("twenty hundred"), ``zero-named``
    ("five thousand zero hundred two-ten"), ``malformed`` (a place word too many),
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
    table = {"": (0, _EITHER, (), ())}
    for value in range(1, 1000):
        hundreds, rest = divmod(value, 100)
        for form, mask in (("plain", _PLAIN), ("explicit", _EXPLICIT)):
            for words in variants(value, form):
                if words.startswith("a ") or words == "ten ten":
                    continue
                places = ((("hundred", hundreds),) if hundreds else ()) + _pair_places(rest)
                found = (value, mask | table.get(" " + words, (0, 0))[1], places, _as_thousands(places))
                table[" " + words] = found
                if value < 100:
                    table[" and " + words] = found
    return table


def _pair_places(value: int) -> Places:
    tens, ones = divmod(value, 10)
    return ((("ten", tens),) if tens else ()) + ((("one", ones),) if ones else ())


def _as_thousands(places: Places) -> Places:
    return tuple(("thousand" if place == "one" else f"{place} thousand", count) for place, count in places)


@dataclass(slots=True)
class _Part:
    """One number or one stray word in an answer, from token ``start`` to before ``end``."""

    start: int
    end: int
    value: int
    forms: int
    places: Places
    digits: str = ""
    stray: bool = False
    odd: tuple[str, ...] = ()
    others: tuple[int, ...] = ()

    @property
    def single(self) -> bool:
        return self.end - self.start == 1 and self.value < 10 and not self.stray


class _Names:
    """Finds number names in tokens; every method gives the part that starts at a token, or None."""

    def __init__(self, tokens: Tokens) -> None:
        self.kinds = [*tokens.kinds, END, END, END]
        self.values = [*tokens.values, 0, 0, 0]

    def parts(self) -> list[_Part]:
        """All parts in order; marks such as INSTEAD lie between them."""
        found: list[_Part] = []
        at, fresh = 0, True
        while (kind := self.kinds[at]) != END:
            part = self.digit_run(at) or self.whole(at, fresh)
            if part:
                found.append(part)
                at, fresh = part.end, False
                continue
            if kind in (HUNDRED, THOUSAND, REPEAT):
                found.append(_Part(at, at + 1, self.values[at], _EITHER, (), stray=True))
            fresh = fresh or kind in _APART
            at += 1
        return found

    def counts_more(self, at: int) -> bool:
        """Whether the digit word at ``at`` belongs to a place word behind it."""
        return self.kinds[at] in (UNIT, ZERO) and self.kinds[at + 1] in (TEN, HUNDRED, THOUSAND)

    def digit_run(self, at: int) -> _Part | None:
        """Two single digits or more: "three two two seven", "double oh seven"."""
        kinds, values = self.kinds, self.values
        digits, end = "", at
        while True:
            times = values[end] if kinds[end] == REPEAT else 1
            digit = end + (times > 1)
            if kinds[digit] not in (UNIT, ZERO) or self.counts_more(digit):
                break
            digits += str(values[digit]) * times
            end = digit + 1
        if len(digits) < 2:
            return None
        return _said_singly(at, end, digits)

    def whole(self, at: int, fresh: bool) -> _Part | None:
        """A name up to 999,999. ``fresh``: "hundred" and "thousand" may start it, for one of them."""
        kinds = self.kinds
        if kinds[at] == ZERO:
            return _Part(at, at + 1, 0, _EITHER, (("one", 0),))
        if kinds[at] == THOUSAND and fresh:
            head = _Part(at, at, 1, _EITHER, (("one", 1),))
        else:
            head = self.group(at, fresh=fresh)
        if head is None or kinds[head.end] != THOUSAND or head.value > 999:
            return head
        head.end += 1
        head.value *= 1000
        head.places = _as_thousands(head.places)
        # "five thousand six thousand" are two numbers, and so is "... six hundred thousand".
        tail = self.group(self.after_joint(head.end), tail=True)
        if tail and kinds[tail.end] != THOUSAND:
            _extend(head, tail)
        elif tail:
            head.others = (head.value + tail.value,)
        return head

    def group(self, at: int, fresh: bool = False, tail: bool = False, zeros: int = 0) -> _Part | None:
        """A name up to 999, or "fifteen hundred" where no thousands stand before it."""
        kinds, values = self.kinds, self.values
        if kinds[at] == HUNDRED and fresh:
            part = _Part(at, at + 1, 100, _EITHER, (("hundred", 1),))
        elif kinds[at] == UNIT and kinds[at + 1] == HUNDRED:
            part = _Part(at, at + 2, values[at] * 100, _EITHER, (("hundred", values[at]),))
        elif tail and kinds[at] == ZERO and kinds[at + 1] != THOUSAND and zeros < _MOST_ZEROS:
            part = _Part(at, at + 1 + (kinds[at + 1] in (HUNDRED, TEN)), 0, _EITHER, (), odd=("zero-named",))
            rest = self.group(self.after_joint(part.end), tail=True, zeros=zeros + 1)
            if rest and kinds[rest.end] not in (HUNDRED, THOUSAND):
                _extend(part, rest)
            return part
        else:
            part = self.pair(at, tail)
            if part is None or tail or part.value < 10 or part.value > 99 or kinds[part.end] != HUNDRED:
                return part
            part.end += 1
            part.odd += () if part.value % 10 else ("uncommon-name",)
            part.places = (("hundred", part.value),)
            part.value *= 100
        rest = self.after_hundred(part.end, tail)
        if rest:
            _extend(part, rest)
        return part

    def after_hundred(self, at: int, tail: bool) -> _Part | None:
        """What is below a hundred behind "hundred", unless it begins the next number."""
        kinds = self.kinds
        at = self.after_joint(at)
        if kinds[at] == ZERO and kinds[at + 1] not in (HUNDRED, THOUSAND):
            part = _Part(at, at + 1 + (kinds[at + 1] == TEN), 0, _EITHER, (), odd=("zero-named",))
            rest = self.pair(self.after_joint(part.end), tail)
            if rest and kinds[rest.end] != HUNDRED and rest.value < 100:
                _extend(part, rest)
            return part
        part = self.pair(at, tail)
        if part and (part.value > 99 or kinds[part.end] == HUNDRED or (tail and kinds[part.end] == THOUSAND)):
            return None
        return part

    def after_joint(self, at: int) -> int:
        return at + 1 if self.kinds[at] == AND else at

    def pair(self, at: int, tail: bool) -> _Part | None:
        """A name up to 99 in either form, or "ten ten"."""
        kinds, values = self.kinds, self.values
        kind, value = kinds[at], values[at]
        if kind == UNIT:
            if kinds[at + 1] == TEN:
                return self.explicit_tens(at, at + 2, value, _EXPLICIT, tail)
            return _Part(at, at + 1, value, _EITHER, (("one", value),))
        if kind == TEN:
            if kinds[at + 1] == TEN and kinds[at + 2] not in (HUNDRED, THOUSAND) and not tail:
                return _Part(at, at + 2, 100, _EXPLICIT, (("ten", 10),), others=(10,))
            return self.explicit_tens(at, at + 1, 1, _EITHER, tail)
        if kind == TEEN:
            ones = values[at + 1]
            if value > 12 and kinds[at + 1] == UNIT and self.may_end(at + 1, tail):
                # No name goes on behind a teen: this is "four ten five", said or heard as "fourteen five".
                return _Part(
                    at, at + 2, (value - 10) * 10 + ones, _EXPLICIT, (("ten", value - 10), ("one", ones)),
                    odd=("teen-for-ten",), others=(ones, value),
                )  # fmt: skip
            return _Part(at, at + 1, value, _PLAIN, _pair_places(value))
        if kind == TY:
            part = _Part(at, at + 1, value, _PLAIN, (("ten", value // 10),))
            if kinds[at + 1] == TEN and kinds[at + 2] not in (TEN, HUNDRED, THOUSAND):
                return self.explicit_tens(at, at + 2, value // 10, 0, tail, ("malformed",), (10,))
            ones = self.after_joint(part.end)
            if kinds[ones] == UNIT and self.may_end(ones, tail):
                _extend(part, _Part(ones, ones + 1, values[ones], _PLAIN, (("one", values[ones]),)))
            return part
        return None

    def explicit_tens(
        self, start: int, at: int, tens: int, forms: int, tail: bool,
        odd: tuple[str, ...] = (), others: tuple[int, ...] = (),
    ) -> _Part:  # fmt: skip
        """The tens that end before ``at``, "four-ten", and their ones."""
        part = _Part(start, at, tens * 10, forms, (("ten", tens),), odd=odd, others=others)
        ones = self.after_joint(at)
        if self.kinds[ones] == UNIT and self.may_end(ones, tail):
            _extend(part, _Part(ones, ones + 1, self.values[ones], _EXPLICIT, (("one", self.values[ones]),)))
        elif self.kinds[ones] == ZERO and not self.counts_more(ones):
            part.end, part.odd = ones + 1, (*odd, "zero-named")
        elif self.kinds[at] == TEEN and self.kinds[at - 2] == UNIT:
            # "four-ten fifteen" keeps to neither form; fifty-five is what it adds up to.
            teen = self.values[at]
            more = _pair_places(teen)
            _extend(part, _Part(at, at + 1, teen, 0, more, odd=("malformed",), others=(teen,)))
        return part

    def may_end(self, at: int, tail: bool) -> bool:
        """Whether the digit word at ``at`` can be the ones of a name, not the start of the next part."""
        following = self.kinds[at + 1]
        if following == HUNDRED:
            # "twenty-five hundred" is a name, but "five thousand twenty five hundred" is not.
            return not tail and self.kinds[at - 1] == TY and (at < 2 or self.kinds[at - 2] in _APART)
        return following != TEN and not (tail and following == THOUSAND)


def _said_singly(start: int, end: int, digits: str) -> _Part:
    # "four five" may be a five put right, and "three two three two" a number said twice.
    others = [int(digits[1]), int(digits[0])] if len(digits) == 2 else []
    half = digits[: len(digits) // 2]
    if half * 2 == digits and len(digits) <= _MOST_DIGITS:
        others.append(int(half))
    if digits[0] * len(digits) == digits:
        others.append(int(digits[0]))
    return _Part(start, end, int(digits[:_MOST_DIGITS]), 0, (), digits, others=tuple(others))


def _extend(part: _Part, more: _Part) -> None:
    part.end = more.end
    part.value += more.value
    part.forms &= more.forms
    part.places += more.places
    part.odd += more.odd
    part.others += more.others


def _read_freely(words: str) -> Reading:
    tokens = tokenise(words)
    names = _Names(tokens)
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
        numbers = [_said_singly(numbers[0].start, numbers[-1].end, digits)]
    last, more, others = _last(numbers, tokens.words)
    if "self-correction" in marks and parts[0] is not found[0]:
        others += _end_put_right(found[found.index(parts[0]) - 1], last)
    if len(last.digits) > _MOST_DIGITS:
        return Reading(words, None, "digits", ("digit-by-digit", "too-big", *aside), (), last.digits)
    form = "digits" if last.digits else _FORMS[last.forms]
    own = {"digits": ("digit-by-digit",), "mixed": ("mixed-form",)}.get(form, ())
    reasons = tuple(dict.fromkeys((*own, *last.odd, *marks, *more, *aside)))
    others = dict.fromkeys(other for other in (*last.others, *others) if other != last.value and other <= HIGHEST)
    return Reading(words, last.value, form, reasons, last.places, last.digits or None, tuple(others)[:_MOST_OTHERS])


def _kept(parts: list[_Part], kinds: list[int]) -> tuple[list[_Part], tuple[str, ...]]:
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


def _only_breaks(parts: list[_Part], kinds: list[int]) -> bool:
    return all(kind in (UNIT, ZERO, BREAK) for kind in kinds[parts[0].start : parts[-1].end])


def _last(parts: list[_Part], words: list[str]) -> tuple[_Part, tuple[str, ...], tuple[int, ...]]:
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
    joined = int("".join(part.digits or str(part.value) for part in parts)[:_MOST_DIGITS])
    said = tuple(value for part in reversed(parts[:-1]) for value in (part.value, *part.others))
    return last, ("two-numbers", *reasons), (joined, *_end_put_right(parts[-2], last), *said)


def _end_put_right(before: _Part, last: _Part) -> tuple[int, ...]:
    """ "five thousand fifty, no, twenty" may put only the end right."""
    size = 10 ** len(str(last.value))
    return (before.value // size * size + last.value,) if before.value >= size else ()


def _echoes(before: _Part, part: _Part, words: list[str]) -> bool:
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
    found = {tuple(words.split()) for form in ("plain", "explicit") for words in variants(value, form)}
    return tuple(sorted(found, key=len, reverse=True))
