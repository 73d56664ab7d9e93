"""Which part of the number picture belongs to which spoken word, and when it lights up."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from sayit.numbers import read
from sayit.numbers.syllables import syllables
from sayit.numbers.words import TEENS, TENS
from sayit.practice.layout import HIGHEST, PLACES

__all__ = ["Light", "lights"]

Timed = tuple[str, float, float]
"""Words, and when they begin and end, in seconds."""


@dataclass(frozen=True, slots=True)
class Light:
    """The part of ``number`` at ``place`` is spoken from ``start`` to ``end``, in seconds."""

    number: int
    place: str
    start: float
    end: float


def lights(timed: Sequence[Timed]) -> tuple[Light, ...]:
    """The lights of one number from the timed words of its name, in either form or digit by digit.

    "Four-ten" and "forty" light the tens, "thirteen" ten and ones at once. A place that is empty and has no
    word lights as the words before it end. Words that were timed together share their time by syllables.
    Nothing lights for what is no number up to 9,999.
    """
    reading = read(" ".join(words for words, _, _ in timed))
    # "Four zero" is the one way of naming that is no name and still tells its places.
    if reading.value is None or reading.value > HIGHEST or set(reading.reasons) - {"digit-by-digit"}:
        return ()
    words = [word for part in timed for word in _single(part)]
    spoken: dict[str, tuple[float, float]] = {}
    for places, start, end in _placed(words, reading.digits):
        for place in places:
            spoken[place] = (min(start, spoken.get(place, (start, end))[0]), end)
    own = [place for place, _ in zip(PLACES, str(reading.value), strict=False)][::-1]
    found, before = [], 0.0
    for place in own:
        start, end = spoken.get(place, (before, before))
        found.append(Light(reading.value, place, round(start, 3), round(end, 3)))
        before = end
    return tuple(found)


def _single(timed: Timed) -> Iterator[Timed]:
    """Each word with its own time."""
    words, start, end = timed
    split = [part for word in words.split() for part in ([word] if word.endswith("-ten") else word.split("-"))]
    counts = [len(syllables(word)) for word in split]
    at = start
    for word, count in zip(split, counts, strict=True):
        upto = at + (end - start) * count / sum(counts)
        yield word, at, upto
        at = upto


def _placed(words: Sequence[Timed], digits: str | None) -> Iterable[tuple[tuple[str, ...], float, float]]:
    if digits and len(digits) == len(words):
        return [((PLACES[len(digits) - 1 - at],), start, end) for at, (_, start, end) in enumerate(words)]
    names = [word for word, _, _ in words]
    return [(_places(names, at), start, end) for at, (_, start, end) in enumerate(words)]


def _places(names: Sequence[str], at: int) -> tuple[str, ...]:
    word, after = names[at], names[at + 1] if at + 1 < len(names) else ""
    for scale in ("hundred", "thousand"):
        if scale in (word, after):
            return (f"{scale}s",)
    if word == "and":
        return ()
    if word in TEENS:
        return ("tens", "ones")
    return ("tens",) if word in TENS or word == "ten" or word.endswith("-ten") else ("ones",)
