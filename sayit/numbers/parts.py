"""The numbers that stand in the words of an answer, one after the other, each with how it was put together."""

from dataclasses import dataclass

from sayit.numbers.tokens import (
    AND,
    BREAK,
    END,
    HUNDRED,
    INSTEAD,
    NOT,
    OR,
    REPEAT,
    TALK,
    TEEN,
    TEN,
    THOUSAND,
    TY,
    UNIT,
    ZERO,
    Tokens,
)

__all__ = [
    "EITHER",
    "EXPLICIT",
    "MOST_DIGITS",
    "PLAIN",
    "NumberFinder",
    "NumberPart",
    "Places",
    "as_thousands",
    "pair_places",
    "said_singly",
]

Places = tuple[tuple[str, int], ...]

PLAIN, EXPLICIT = 1, 2
EITHER = PLAIN | EXPLICIT
"""Forms that a part can have, as bits: in plain form, in explicit form, the same in both; 0 keeps to neither."""

MOST_DIGITS = 12
_MOST_ZEROS = 3
_APART = (INSTEAD, NOT, OR, BREAK, TALK)


def pair_places(value: int) -> Places:
    """The places of a number below a hundred."""
    tens, ones = divmod(value, 10)
    return ((("ten", tens),) if tens else ()) + ((("one", ones),) if ones else ())


def as_thousands(places: Places) -> Places:
    """Places of a number below a thousand where "thousand" follows it."""
    return tuple(("thousand" if place == "one" else f"{place} thousand", count) for place, count in places)


@dataclass(slots=True)
class NumberPart:
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
        """Whether it is one digit word."""
        return self.end - self.start == 1 and self.value < 10 and not self.stray


class NumberFinder:
    """Finds number names in tokens; every method gives the part that starts at a token, or None."""

    def __init__(self, tokens: Tokens) -> None:
        self.kinds = [*tokens.kinds, END, END, END]
        self.values = [*tokens.values, 0, 0, 0]

    def parts(self) -> list[NumberPart]:
        """All parts in order; marks such as INSTEAD lie between them."""
        found: list[NumberPart] = []
        at, fresh = 0, True
        while (kind := self.kinds[at]) != END:
            part = self.digit_run(at) or self.whole(at, fresh)
            if part:
                found.append(part)
                at, fresh = part.end, False
                continue
            if kind in (HUNDRED, THOUSAND, REPEAT):
                found.append(NumberPart(at, at + 1, self.values[at], EITHER, (), stray=True))
            fresh = fresh or kind in _APART
            at += 1
        return found

    def counts_more(self, at: int) -> bool:
        """Whether the digit word at ``at`` belongs to a place word behind it."""
        return self.kinds[at] in (UNIT, ZERO) and self.kinds[at + 1] in (TEN, HUNDRED, THOUSAND)

    def digit_run(self, at: int) -> NumberPart | None:
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
        return said_singly(at, end, digits)

    def whole(self, at: int, fresh: bool) -> NumberPart | None:
        """A name up to 999,999. ``fresh``: "hundred" and "thousand" may start it, for one of them."""
        kinds = self.kinds
        head: NumberPart | None
        if kinds[at] == ZERO:
            return NumberPart(at, at + 1, 0, EITHER, (("one", 0),))
        if kinds[at] == THOUSAND and fresh:
            head = NumberPart(at, at, 1, EITHER, (("one", 1),))
        else:
            head = self.group(at, fresh=fresh)
        if head is None or kinds[head.end] != THOUSAND or head.value > 999:
            return head
        head.end += 1
        head.value *= 1000
        head.places = as_thousands(head.places)
        # "five thousand six thousand" are two numbers, and so is "... six hundred thousand".
        tail = self.group(self.after_joint(head.end), tail=True)
        if tail and kinds[tail.end] != THOUSAND:
            _extend(head, tail)
        elif tail:
            head.others = (head.value + tail.value,)
        return head

    def group(self, at: int, fresh: bool = False, tail: bool = False, zeros: int = 0) -> NumberPart | None:
        """A name up to 999, or "fifteen hundred" where no thousands stand before it."""
        kinds, values = self.kinds, self.values
        part: NumberPart | None
        if kinds[at] == HUNDRED and fresh:
            part = NumberPart(at, at + 1, 100, EITHER, (("hundred", 1),))
        elif kinds[at] == UNIT and kinds[at + 1] == HUNDRED:
            part = NumberPart(at, at + 2, values[at] * 100, EITHER, (("hundred", values[at]),))
        elif tail and kinds[at] == ZERO and kinds[at + 1] != THOUSAND and zeros < _MOST_ZEROS:
            part = NumberPart(at, at + 1 + (kinds[at + 1] in (HUNDRED, TEN)), 0, EITHER, (), odd=("zero-named",))
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

    def after_hundred(self, at: int, tail: bool) -> NumberPart | None:
        """What is below a hundred behind "hundred", unless it begins the next number."""
        kinds = self.kinds
        part: NumberPart | None
        at = self.after_joint(at)
        if kinds[at] == ZERO and kinds[at + 1] not in (HUNDRED, THOUSAND):
            part = NumberPart(at, at + 1 + (kinds[at + 1] == TEN), 0, EITHER, (), odd=("zero-named",))
            rest = self.pair(self.after_joint(part.end), tail)
            if rest and kinds[rest.end] != HUNDRED and rest.value < 100:
                _extend(part, rest)
            return part
        part = self.pair(at, tail)
        if part and (part.value > 99 or kinds[part.end] == HUNDRED or (tail and kinds[part.end] == THOUSAND)):
            return None
        return part

    def after_joint(self, at: int) -> int:
        """The token behind an "and" that may stand here."""
        return at + 1 if self.kinds[at] == AND else at

    def pair(self, at: int, tail: bool) -> NumberPart | None:
        """A name up to 99 in either form, or "ten ten"."""
        kinds, values = self.kinds, self.values
        kind, value = kinds[at], values[at]
        if kind == UNIT:
            if kinds[at + 1] == TEN:
                return self.explicit_tens(at, at + 2, value, EXPLICIT, tail)
            return NumberPart(at, at + 1, value, EITHER, (("one", value),))
        if kind == TEN:
            if kinds[at + 1] == TEN and kinds[at + 2] not in (HUNDRED, THOUSAND) and not tail:
                return NumberPart(at, at + 2, 100, EXPLICIT, (("ten", 10),), others=(10,))
            return self.explicit_tens(at, at + 1, 1, EITHER, tail)
        if kind == TEEN:
            ones = values[at + 1]
            if value > 12 and kinds[at + 1] == UNIT and self.may_end(at + 1, tail):
                # No name goes on behind a teen: this is "four ten five", said or heard as "fourteen five".
                return NumberPart(
                    at, at + 2, (value - 10) * 10 + ones, EXPLICIT, (("ten", value - 10), ("one", ones)),
                    odd=("teen-for-ten",), others=(ones, value),
                )  # fmt: skip
            return NumberPart(at, at + 1, value, PLAIN, pair_places(value))
        if kind == TY:
            part = NumberPart(at, at + 1, value, PLAIN, (("ten", value // 10),))
            if kinds[at + 1] == TEN and kinds[at + 2] not in (TEN, HUNDRED, THOUSAND):
                bare = kinds[at + 2] not in (UNIT, ZERO, AND, TEEN)
                odd = ("malformed", *(("decade-overrun",) if bare else ()))
                return self.explicit_tens(at, at + 2, value // 10, 0, tail, odd, (value + 10, 10) if bare else (10,))
            ones = self.after_joint(part.end)
            if kinds[ones] == UNIT and self.may_end(ones, tail):
                _extend(part, NumberPart(ones, ones + 1, values[ones], PLAIN, (("one", values[ones]),)))
            return part
        return None

    def explicit_tens(
        self, start: int, at: int, tens: int, forms: int, tail: bool,
        odd: tuple[str, ...] = (), others: tuple[int, ...] = (),
    ) -> NumberPart:  # fmt: skip
        """The tens that end before ``at``, "four-ten", and their ones."""
        part = NumberPart(start, at, tens * 10, forms, (("ten", tens),), odd=odd, others=others)
        ones = self.after_joint(at)
        if self.kinds[ones] == UNIT and self.may_end(ones, tail):
            _extend(part, NumberPart(ones, ones + 1, self.values[ones], EXPLICIT, (("one", self.values[ones]),)))
        elif self.kinds[ones] == ZERO and not self.counts_more(ones):
            part.end, part.odd = ones + 1, (*odd, "zero-named")
        elif self.kinds[at] == TEEN and self.kinds[at - 2] == UNIT:
            # "four-ten fifteen" keeps to neither form; fifty-five is what it adds up to.
            teen = self.values[at]
            more = pair_places(teen)
            _extend(part, NumberPart(at, at + 1, teen, 0, more, odd=("malformed",), others=(teen,)))
        return part

    def may_end(self, at: int, tail: bool) -> bool:
        """Whether the digit word at ``at`` can be the ones of a name, not the start of the next part."""
        following = self.kinds[at + 1]
        if following == HUNDRED:
            # "thirty-five hundred" is a name, but "four thousand thirty five hundred" is not.
            return not tail and self.kinds[at - 1] == TY and (at < 2 or self.kinds[at - 2] in _APART)
        return following != TEN and not (tail and following == THOUSAND)


def said_singly(start: int, end: int, digits: str) -> NumberPart:
    """Digits told one by one, as one part."""
    # "four five" may be a five put right, and "three two three two" a number said twice.
    others = [int(digits[1]), int(digits[0])] if len(digits) == 2 else []
    half = digits[: len(digits) // 2]
    if half * 2 == digits and len(digits) <= MOST_DIGITS:
        others.append(int(half))
    if digits[0] * len(digits) == digits:
        others.append(int(digits[0]))
    return NumberPart(start, end, int(digits[:MOST_DIGITS]), 0, (), digits, others=tuple(others))


def _extend(part: NumberPart, more: NumberPart) -> None:
    part.end = more.end
    part.value += more.value
    part.forms &= more.forms
    part.places += more.places
    part.odd += more.odd
    part.others += more.others
