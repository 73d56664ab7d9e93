"""Other ways in which number words come out: homophones, children's sounds, spellings."""

from functools import lru_cache

from sayit.numbers.words import PLACES, REPEATERS, TEENS, TENS, UNITS, ZEROS

__all__ = ["FAINT", "MADE_UP", "canonical"]

_SAME = {
    "zero": "zeroes zeros zewo nil",
    "oh": "o owe",
    "nought": "naught noughts ought",
    "one": "won wun wan",
    "two": "to too tew tu",
    "three": "free fwee thwee sree tree",
    "four": "for fore foh",
    "five": "fife fibe",
    "six": "sicks sics sex thix",
    "seven": "seben sebben sevn theven",
    "eight": "ate",
    "nine": "nein",
    "ten": "tens tin",
    "eleven": "leven eleben lebben",
    "twelve": "twelf twelb",
    "thirteen": "firteen thurteen tirteen turteen",
    "fourteen": "forteen",
    "sixteen": "thixteen",
    "seventeen": "sebenteen",
    "eighteen": "eightteen",
    "nineteen": "ninteen",
    "twenty": "twenny tweny",
    "thirty": "firty thurty tirty turty",
    "forty": "fourty",
    "fifty": "fity",
    "seventy": "sebenty",
    "eighty": "eightty eightey",
    "ninety": "ninty",
    "hundred": "hundreds hunderd hundert hunnerd hundwed hunded",
    "thousand": "thousands fousand fousands tousand thousan",
    "and": "plus",
    "a": "an",
    "triple": "treble",
}
"""What a recogniser or a young child makes of a word. Speech sounds still growing are no error of number."""

_SPELLINGS = {other: word for word, others in _SAME.items() for other in others.split()}

FAINT = frozenset("and a an o oh owe ought won to too free tree for fore sex ate nein tin".split())
"""Everyday words among them: they count as numbers only in an answer without any other talk."""

_WORDS = (*ZEROS, *UNITS, *TEENS, *TENS, *PLACES, *REPEATERS, "and", "a")

MADE_UP = {
    made: word
    for ending, words in (("ty", ("ten", *TENS)), ("teen", TEENS))
    for unit, word in zip(UNITS, words, strict=True)
    if (made := unit + ending) not in _WORDS and made not in _SPELLINGS
}
"""Names that children build by rule, "fivety" or "threeteen", and the words that they stand for."""


@lru_cache(maxsize=2048)
def canonical(word: str) -> tuple[str, ...]:
    """The number words that one lower-case written word stands for; () for another word.

    Words written together are parted: "fourten" is four and ten, "fortyfive" forty
    and five.
    """
    word = MADE_UP.get(word, word)
    word = _SPELLINGS.get(word, word)
    if word in _WORDS:
        return (word,)
    return _parted(word) if len(word) <= 60 else ()


def _parted(word: str) -> tuple[str, ...]:
    """Words of three letters or more that make up ``word`` without rest, the longest first."""
    for length in range(min(len(word) - 3, 9), 2, -1):
        if word[:length] in _WORDS:
            rest = word[length:]
            if rest in _WORDS and len(rest) > 2:
                return word[:length], rest
            if more := _parted(rest):
                return word[:length], *more
    return ()
