"""The words that spoken numbers are made of, and what stands in for them.

The classes (units, teens, tens, place words) are those of the number
transcoding literature (e.g. McCloskey, Caramazza & Basili 1985; from memory).
"""

from __future__ import annotations

__all__ = [
    "EXPECTED",
    "FILLERS",
    "HIGHEST",
    "MARKERS",
    "PLACES",
    "SAME_SOUND",
    "SPELLINGS",
    "TEENS",
    "TENS",
    "UNITS",
    "VOCABULARY",
]

HIGHEST = 999_999
"""Largest number with a name here."""

UNITS = {
    word: value
    for value, word in enumerate("one two three four five six seven eight nine".split(), start=1)
}
TEENS = {
    word: value
    for value, word in enumerate(
        "eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(), start=11
    )
}
TENS = {
    word: value
    for value, word in zip(
        range(20, 100, 10), "twenty thirty forty fifty sixty seventy eighty ninety".split(), strict=True
    )
}
PLACES = {"ten": 10, "hundred": 100, "thousand": 1000}

VOCABULARY = ("zero", *UNITS, *TEENS, *TENS, *PLACES, "and", "a", "oh", "nought")
"""Every word that a well-formed answer can hold: what a recogniser has to know."""

SPELLINGS = {
    "oh": "zero", "nought": "zero", "naught": "zero", "nil": "zero", "zeros": "zero", "zeroes": "zero",
    "fourty": "forty", "hundreds": "hundred", "thousands": "thousand", "tens": "ten", "hundert": "hundred",
    # How young children say them; speech sounds still growing are no error of number.
    "fousand": "thousand", "tousand": "thousand", "seben": "seven", "sebenty": "seventy", "sebenteen": "seventeen",
    "firteen": "thirteen", "firty": "thirty", "fwee": "three", "thwee": "three", "sree": "three", "fife": "five",
    "fiveteen": "fifteen", "threeteen": "thirteen", "threety": "thirty", "fivety": "fifty",
}  # fmt: skip
"""Other words for a number word, whatever stands around them."""

SAME_SOUND = {
    "to": "two", "too": "two", "for": "four", "fore": "four", "won": "one", "ate": "eight", "free": "three",
    "tree": "three", "o": "zero", "sex": "six",
}  # fmt: skip
"""Everyday words that sound like a number word: numbers only where no other talk stands around."""

FILLERS = frozenset("um umm uh uhm er erm ah eh hm hmm mm so well please like".split())
"""Sounds and words of thinking; they are passed over."""

MARKERS = frozenset("no not sorry oops wait mean actually".split())
"""Words after which the speaker says it anew: the last number counts."""

EXPECTED = frozenset("it its it's is that's thats the answer i i'm think say and a an".split())
"""Words that frame an answer without being other talk."""
