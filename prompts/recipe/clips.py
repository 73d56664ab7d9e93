"""What a voice pack holds: the pieces of numbers' names, and the words of the bank around its blanks.

A clip is called by its words and how they end: "forty-five." falls, "forty-five," goes on.
"""

from __future__ import annotations

from sayit.numbers import name
from sayit.speaking.phrases import Bank

DIGITS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]


def numbers() -> list[str]:
    """Every clip that the names of 0 to 999,999 are put together from, in both forms, with and without "and"."""
    bare = [name(value) for value in range(100)]
    tens = [f"{digit}-ten" for digit in DIGITS[1:]]
    thousands = [f"{words} thousand" for words in (*bare[1:], *tens)]
    hundreds = [f"{digit} hundred{more}" for digit in DIGITS[1:] for more in ("", " thousand")]
    after = [f"and {words}" for words in (*bare[1:], *tens, *thousands)]
    return [words + mark for words in (*bare, *tens, *thousands, *hundreds, *after) for mark in ".,"]


def phrases(bank: Bank) -> list[str]:
    """The words of the bank between its blanks; they end as they are written, or run on."""
    return sorted(set(bank.slots().values()))
