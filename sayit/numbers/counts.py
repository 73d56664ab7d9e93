"""Answers that count to a number: on from somewhere, back, by twos, fives or tens, or as two parts and their sum.

Counting on from one part and counting all are known ways of children to a sum: Carpenter & Moser 1984, The
acquisition of addition and subtraction concepts in grades one through three, Journal for Research in Mathematics
Education 15(3), 179-202.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from sayit.numbers.naming import FORMS, variants

__all__ = ["counted", "is_count"]

_STEPS = (1000, 100, 10, 5, 2, 1)
_ALLOWED = {*_STEPS, -1, -10}
_BY = {2: "by-twos", 5: "by-fives", 10: "by-tens"}
_FEWEST = 3
_HIGHEST = 9_999
_LONGEST = 600
_WORDS_OF_A_NAME = 7


def counted(words: Sequence[str]) -> tuple[int, tuple[str, ...]] | None:
    """The number that number words count to, and reasons: ``counted`` and, not by ones, by what.

    A count has three numbers or more, each so much after the one before; after tens may come fives or ones ("ten,
    twenty, thirty, thirty-one"), and a last number may be said twice. "eight, nine, ten: three" counts the steps, which
    is the number then. Only ones and tens are counted back.
    """
    if not _FEWEST <= len(words) <= _LONGEST:
        return None
    for first, at in _names_at(words, 0):
        for second, end in _names_at(words, at):
            if second - first in _ALLOWED and (found := _follow(words, end, second, second - first)):
                return found
    return None


def is_count(digits: str) -> int | None:
    """The number that single digits count or add up to: "5678" to 8, "2468" to 8, "336" (three, three: six) to 6."""
    told = [int(digit) for digit in digits]
    if len(told) < _FEWEST:
        return None
    if len(told) == _FEWEST and told[0] + told[1] == told[2]:
        return told[2]
    if told[-1] == told[-2]:
        told.pop()
    steps = {after - before for before, after in pairwise(told)}
    return told[-1] if len(told) >= _FEWEST and len(steps) == 1 and steps <= {1, 2, -1} else None


def _names_at(words: Sequence[str], at: int) -> Iterator[tuple[int, int]]:
    """The numbers that the words from there may begin with, and where each ends."""
    for end in range(at + 1, min(len(words), at + _WORDS_OF_A_NAME) + 1):
        if (value := _values().get(tuple(words[at:end]))) is not None:
            yield value, end


def _follow(words: Sequence[str], at: int, value: int, step: int) -> tuple[int, tuple[str, ...]] | None:
    first, said, changed = step, 2, False
    while at < len(words):
        smaller = [less for less in _STEPS if less < step] if step > 2 else []
        for by in (step, *smaller):
            if length := _match(words, at, value + by):
                changed = changed or by != step
                at, value, step, said = at + length, value + by, by, said + 1
                break
        else:
            break
    reasons = ("counted", *((_BY[abs(first)],) if abs(first) in _BY else ()))
    fewest = _FEWEST + changed
    if said < fewest:
        return None
    if at == len(words):
        return value, reasons
    rest = tuple(words[at:])
    if rest in _wordings(value) and said > _FEWEST:
        return value, reasons
    if rest in _wordings(said):
        return said, reasons
    # The last jump may be less than ten, as from forty to forty-five.
    last = _values().get(rest)
    return (last, reasons) if first == 10 and last is not None and value < last < value + 10 else None


def _match(words: Sequence[str], at: int, value: int) -> int:
    """How many words from there name ``value``; 0 if they do not."""
    return next((len(name) for name in _wordings(value) if tuple(words[at : at + len(name)]) == name), 0)


@lru_cache(maxsize=4096)
def _wordings(value: int) -> tuple[tuple[str, ...], ...]:
    """Wordings of a number as tuples of words without "and", the longest first."""
    if not 0 <= value <= _HIGHEST:
        return ()
    found = {tuple(words.replace(" and ", " ").split()) for form in FORMS for words in variants(value, form)}
    return tuple(sorted(found, key=len, reverse=True))


@lru_cache(maxsize=1)
def _values() -> dict[tuple[str, ...], int]:
    """Numbers up to 999 and whole thousands by their wordings: where a count may start."""
    return {words: value for value in (*range(1000), *range(1000, _HIGHEST, 1000)) for words in _wordings(value)}
