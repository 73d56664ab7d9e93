"""What may be said: number phrases in every form that a child uses, drawn at random for training.

The same word list serves the synthetic speech, the training sentences and the decoding graph.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from sayit.numbers import name

DIGITS = "zero one two three four five six seven eight nine".split()
TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
WORDS = [*DIGITS, "oh", *TEENS, *TENS, "hundred", "thousand", "and", "a"]
BEFORE = [
    "um", "uh", "it's", "it is", "is it", "i think", "i think it's", "i think it is", "that's", "i know",
    "okay", "mummy", "um mummy", "daddy", "um i think it's", "uh i think it's", "the answer is", "well", "well it's",
]  # fmt: skip
"""What children say before a number."""
AFTER = ["mummy", "daddy", "i think", "okay", "is it", "it is"]
INSTEAD = ["no", "no no", "i mean", "no i mean", "wait", "no wait", "no it's", "um no"]
"""After these a number is said anew."""
ALSO = ["or", "tens"]
"""Further words within an answer: "forty-five or fifty-four", "four hundred, no tens, five"."""
EVERYDAY = """
    a again ah all am an and answer at aw because could dad daddy done don't easy er erm get good got gran grandma grandpa had has have he
    here here's hey hi him hm how i in is it it's just know let look mama many maybe me miss mm mom mommy mum mummy much must my not now
    number of oh okay on only ooh oops perhaps please probably really right said say says she sorry sure teacher that that's the their then
    there there's these they they're think this try uh um wait was we well were what what's which who with would wrong yeah yep yes you
""".split()
"""What may stand before or after a number and is no part of it; any other speech may as well, but costs more."""
AROUND = sorted({word for phrase in [*BEFORE, *AFTER, *INSTEAD] for word in phrase.split()})


def phrase(n: int, form: str, use_and: bool = False) -> list[str]:
    """Words of ``n`` (0..999_999); ``form`` is ``plain``, ``explicit`` or ``digits``."""
    if form == "digits":
        return [DIGITS[int(d)] for d in str(n)]
    return name(n, form, use_and=use_and).replace("-", " ").replace(",", "").split()


def draw_value(rng: random.Random) -> int:
    """A number as practice asks for: small ones and the easily swapped ones more often."""
    u = rng.random()
    if u < 0.12:
        return rng.randrange(0, 20)
    if u < 0.24:
        return rng.choice([10 * rng.randrange(1, 10), 10 + rng.randrange(3, 10)])
    if u < 0.50:
        return rng.randrange(20, 100)
    if u < 0.74:
        return rng.randrange(100, 1000)
    if u < 0.77:
        return 100 * rng.randrange(1, 100)
    if u < 0.80:
        return 100 * rng.randrange(1, 100) + rng.choice([10 * rng.randrange(3, 10), 10 + rng.randrange(3, 10)])
    if u < 0.83:
        return rng.choice([1000, 100, 10]) * rng.randrange(1, 10) + rng.choice([1, 10]) * rng.randrange(1, 10)
    if u < 0.97:
        return rng.randrange(1000, 10_000)
    return rng.randrange(10_000, 1_000_000)


def draw(rng: random.Random) -> tuple[str, list[str]]:
    """One phrase as ``(form, words)``."""
    u = rng.random()
    if u < 0.36:
        return "plain", phrase(draw_value(rng), "plain", rng.random() < 0.35)
    if u < 0.70:
        return "explicit", phrase(draw_value(rng), "explicit", rng.random() < 0.12)
    if u < 0.94:
        length = rng.choice([1, 1, 2, 3, 3, 4, 4, 4, 5, 6])
        words = [rng.choice(DIGITS) for _ in range(length)]
        return "digits", ["oh" if w == "zero" and rng.random() < 0.3 else w for w in words]
    return "words", [rng.choice(WORDS[:-2]) for _ in range(rng.randrange(1, 4))]


def wrapped(rng: random.Random, sentences: list[str]) -> list[list[str]]:
    """A number as children wrap it, in parts: words before, the number, words after or the number said anew.

    A part in three comes from ``sentences``: words that no list has."""

    def around(phrases: list[str]) -> list[str]:
        if sentences and rng.random() < 0.33:
            found = rng.choice(sentences).split()
            start = rng.randrange(len(found))
            return found[start : start + rng.randrange(1, 4)]
        return rng.choice(phrases).split()

    u = rng.random()
    parts = [draw(rng)[1]]
    if u < 0.65:
        parts.insert(0, around(BEFORE))
    if 0.5 < u < 0.82:
        parts.append(around(AFTER))
    elif u >= 0.82:
        parts += [rng.choice(INSTEAD).split(), draw(rng)[1]]
    return parts
