"""Sets of numbers written as ranges and digit patterns."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from random import Random

from sayit.errors import SayitError

_DIGITS = "0123456789"


@dataclass(frozen=True)
class Pool:
    """Whole numbers described by ``patterns``, never above ``limit``.

    A pattern is a range ("1-5", "10000-limit") or one sign a digit: ``#`` any
    digit but zero, ``*`` any digit, ``[2-9]`` one of these, a digit itself.
    Nothing is listed out, so a pool of 990,000 numbers costs as much as one of five.
    """

    patterns: tuple[str, ...]
    limit: int

    @cached_property
    def _parts(self) -> tuple["_Range | _Signs", ...]:
        parts = (_part(pattern, self.limit) for pattern in self.patterns)
        return tuple(part for part in parts if len(part))

    @cached_property
    def _ends(self) -> tuple[int, ...]:
        return tuple(accumulate(len(part) for part in self._parts))

    def __len__(self) -> int:
        """How many numbers there are; one that two patterns describe counts twice."""
        return self._ends[-1] if self._ends else 0

    def __contains__(self, number: int) -> bool:
        return any(number in part for part in self._parts)

    def __getitem__(self, index: int) -> int:
        """The number at ``index``, pattern by pattern, smallest first in each."""
        if not 0 <= index < len(self):
            raise IndexError(index)
        which = bisect_right(self._ends, index)
        return self._parts[which][index - (self._ends[which - 1] if which else 0)]

    def pick(self, random: Random, avoid: Sequence[int] = ()) -> int:
        """One number; each pattern is as likely as any other, whatever its size.

        Otherwise three hundred would hardly ever be asked beside 729 numbers
        such as 345. Numbers in ``avoid`` come only when a dozen tries find no other.
        """
        for _ in range(12):
            part = random.choice(self._parts)
            number = part[random.randrange(len(part))]
            if number not in avoid:
                break
        return number


class _Range:
    def __init__(self, first: int, last: int) -> None:
        self._range = range(first, last + 1)

    def __len__(self) -> int:
        return len(self._range)

    def __contains__(self, number: int) -> bool:
        return number in self._range

    def __getitem__(self, index: int) -> int:
        return self._range[index]


class _Signs:
    def __init__(self, choices: list[str], limit: int) -> None:
        self._choices = choices
        self._size = 1
        for choice in choices:
            self._size *= len(choice)
        while self._size and self[self._size - 1] > limit:
            self._size -= 1

    def __len__(self) -> int:
        return self._size

    def __contains__(self, number: int) -> bool:
        digits = str(number)
        return (
            len(digits) == len(self._choices)
            and all(digit in choice for digit, choice in zip(digits, self._choices, strict=True))
            and (not self._size or number <= self[self._size - 1])
        )

    def __getitem__(self, index: int) -> int:
        digits = ""
        for choice in reversed(self._choices):
            index, which = divmod(index, len(choice))
            digits = choice[which] + digits
        return int(digits)


def _part(pattern: str, limit: int) -> _Range | _Signs:
    first, dash, last = pattern.partition("-")
    if dash and first.isdigit() and (last.isdigit() or last == "limit"):
        return _Range(int(first), limit if last == "limit" else min(int(last), limit))
    choices, rest = [], pattern
    while rest:
        if rest[0] == "[" and "]" in rest:
            inside, rest = rest[1:].split("]", 1)
            low, dash, high = inside.partition("-")
            choices.append(_DIGITS[int(low) : int(high) + 1] if dash else inside)
            continue
        sign, rest = rest[0], rest[1:]
        if sign in _DIGITS:
            choices.append(sign)
        elif sign in "#*":
            choices.append(_DIGITS[1:] if sign == "#" else _DIGITS)
        else:
            raise SayitError(f"{pattern!r} describes no numbers: write a range or one of # * 0-9 a digit.")
    if not choices or not all(choices) or "0" in choices[0]:
        raise SayitError(f"{pattern!r} describes no numbers: the first digit cannot be zero.")
    return _Signs(choices, limit)
