"""Telling counting from seeing, by how the response time grows with the quantity.

Seeing a small or grouped quantity costs about the same whatever it is; counting
costs more for each thing. In adults each further thing adds 40 to 100 ms up to
about four and 200 to 400 ms beyond (Trick & Pylyshyn 1993, Cognitive Science
17); in five-year-olds about 0.2 s up to three and about 1 s beyond (Chi & Klahr 1975,
Journal of Experimental Child Psychology 19; both figures from memory).
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import combinations
from statistics import median

PER_THING = 0.25
"""Seconds for each further thing from which on we speak of counting: above what seeing costs a child."""

FEWEST = 6
SURE = 1.645
"""One-sided 5 % point of the normal distribution."""


@dataclass(frozen=True, slots=True)
class Slope:
    """``seconds`` more for each further thing, from ``answers`` right answers; ``rising`` if that is no accident."""

    seconds: float
    answers: int
    rising: bool

    @property
    def counting(self) -> bool:
        """Whether the times look like counting."""
        return self.rising and self.seconds >= PER_THING


def slope(answers: Iterable[tuple[int, float]]) -> Slope | None:
    """Growth of response time over quantity from (quantity, seconds) of right answers.

    The slope is the median over all pairs (Sen 1968, Journal of the American
    Statistical Association 63), which one dreamy answer cannot spoil; whether it
    rises is Kendall's test with ties (Kendall 1970, Rank Correlation Methods).
    None with fewer than six answers or three different quantities.
    """
    pairs = [(float(quantity), float(seconds)) for quantity, seconds in answers]
    if len(pairs) < FEWEST or len({quantity for quantity, _ in pairs}) < 3:
        return None
    slopes, concordance = [], 0
    for (first, early), (second, late) in combinations(pairs, 2):
        if first != second:
            slopes.append((late - early) / (second - first))
            concordance += (late > early) - (late < early) if second > first else (early > late) - (early < late)
    count = len(pairs)
    variance = _variance(count, _ties(quantity for quantity, _ in pairs), _ties(seconds for _, seconds in pairs))
    score = (concordance - 1) / math.sqrt(variance) if concordance > 0 and variance > 0 else 0.0
    return Slope(median(slopes), count, score > SURE)


def _variance(count: int, first: list[int], second: list[int]) -> float:
    """Variance of Kendall's concordance without a trend, with groups of ties in either variable."""

    def total(sizes: list[int], term: Callable[[int], int]) -> int:
        return sum(term(size) for size in sizes)

    spread = total([count], _spread) - total(first, _spread) - total(second, _spread)
    threes = total(first, _threes) * total(second, _threes)
    twos = total(first, _twos) * total(second, _twos)
    return spread / 18 + threes / (9 * _threes(count)) + twos / (2 * _twos(count))


def _spread(size: int) -> int:
    return size * (size - 1) * (2 * size + 5)


def _twos(size: int) -> int:
    return size * (size - 1)


def _threes(size: int) -> int:
    return size * (size - 1) * (size - 2)


def _ties(values: Iterable[float]) -> list[int]:
    seen: dict[float, int] = {}
    for value in values:
        seen[value] = seen.get(value, 0) + 1
    return [count for count in seen.values() if count > 1]
