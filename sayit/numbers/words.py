"""The words that number names are made of, by what they do in a name."""

__all__ = ["HIGHEST", "NUMBER_WORDS", "PLACES", "REPEATERS", "TEENS", "TENS", "UNITS", "VOCABULARY", "ZEROS"]

HIGHEST = 999_999
"""The largest number with a name here."""

ZEROS = ("zero", "oh", "nought")
"""Words for zero: the name itself and two everyday ones."""

UNITS = {word: value for value, word in enumerate("one two three four five six seven eight nine".split(), start=1)}
"""One to nine: the digit words, the same in both forms."""

TEENS = {
    word: value
    for value, word in enumerate(
        "eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(), start=11
    )
}
"""Eleven to nineteen: only in plain names."""

TENS = {
    word: value
    for value, word in zip(
        range(20, 100, 10), "twenty thirty forty fifty sixty seventy eighty ninety".split(), strict=True
    )
}
"""Twenty to ninety: only in plain names."""

PLACES = {"ten": 10, "hundred": 100, "thousand": 1000}
"""Words for a place. In plain names "ten" is the number itself and nothing else."""

REPEATERS = {"double": 2, "triple": 3}
"""How often the next digit counts when digits are read out one by one; understood, never asked for."""

NUMBER_WORDS = (ZEROS[0], *UNITS, "ten", *TEENS, *TENS, "hundred", "thousand", "and")
"""The words that piece together every name of a number from 0 to ``HIGHEST`` in both forms, by size."""

VOCABULARY = (*ZEROS, *UNITS, *TEENS, *TENS, *PLACES, "and", "a")
"""Every word of every wording that counts as right: what a recogniser has to know."""
