"""Whether a speaker who falls silent may only be pausing inside a number."""

from sayit.numbers.reading import read
from sayit.numbers.words import TEENS, TENS, UNITS

__all__ = ["may_go_on"]


def may_go_on(words: str) -> bool:
    """Whether a name below 10,000 that begins with ``words`` may have more to come.

    "forty-five", "four-ten five" and "fourteen" are complete. "forty", "four-ten",
    "five hundred" and a digit alone ("four", of "four-ten") may go on, and so may
    anything that is no well-formed name.
    """
    reading = read(words)
    if reading.value is None or reading.reasons or reading.form not in ("plain", "explicit", "both"):
        return True
    *before, last = words.replace("-", " ").split()
    if last in TEENS:
        return False
    return not (last in UNITS and before and (before[-1] in TENS or before[-1] == "ten"))
