"""Whether the number asked for may have been said after all: to be asked before a child is told that it was wrong.

Pure.  The question never changes what is heard; it only decides between judging wrong and asking again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from sayit.numbers import FORMS, name, read

if TYPE_CHECKING:
    from sayit.hearing.heard import Heard

__all__ = ["NEAR", "NEAR_PART", "NEAR_SWAPPED", "margin", "may_be", "phrases_for", "said_after_all"]

NEAR = 13.0
"""Nats; under them the number asked for may be what was said."""

NEAR_PART = 5.0
"""The same where the number asked for is the beginning or the end of what was heard: speech beside a number may be
anything, so that "forty five" is never far from "one hundred forty five"."""

NEAR_SWAPPED = 5.0
"""The same where only "-teen" and "-ty" differ: those lie close together also when they are said well."""


def margin(scores: Mapping[str, float], value: int) -> float:
    """Nats by which the best phrase is ahead of the best one that reads as ``value``; infinite if there is none.

    ``scores`` are phrases with log scores, as ``Heard.scores`` has them.
    """
    asked = _best(scores, value)
    return max(score for words, score in scores.items() if words) - scores[asked] if asked else math.inf


def may_be(scores: Mapping[str, float], value: int) -> bool:
    """Whether ``value`` may have been said though another number was heard: then ask again, do not judge."""
    asked = _best(scores, value)
    if not asked:
        return False
    best = max((words for words in scores if words), key=scores.__getitem__)
    heard = read(best).value
    if heard is not None and _swapped(heard, value):
        near = NEAR_SWAPPED
    else:
        near = NEAR_PART if _part(asked.split(), best.split()) else NEAR
    return scores[best] - scores[asked] <= near


def _best(scores: Mapping[str, float], value: int) -> str:
    """The likeliest phrase that reads as ``value``, or nothing."""
    return max((w for w in scores if w and read(w).value == value), key=scores.__getitem__, default="")


def _part(some: list[str], whole: list[str]) -> bool:
    return some in (whole[: len(some)], whole[-len(some) :])


def _swapped(one: int, other: int) -> bool:
    """Whether the two differ as thirteen and thirty do."""
    low, high = sorted((one % 100, other % 100))
    return one // 100 == other // 100 and 13 <= low <= 19 and high == (low - 10) * 10


def said_after_all(heard: Heard, value: int, weigh: Callable[[Sequence[str]], Mapping[str, float]]) -> bool:
    """Whether ``value`` may have been said: by what the listener heard, or by a second opinion.

    ``weigh`` gives the log scores in nats that a second opinion has of phrases, as ``Listener.weigh`` does.
    """
    if may_be(heard.scores, value):
        return True
    # "And" tells no number from another.
    words = heard.words.replace(" and ", " ")
    asked = phrases_for(words, value)
    weighed = weigh((words, *asked)) if asked else {}
    return words in weighed and weighed[words] < max(weighed.values())


def phrases_for(heard: str, value: int) -> tuple[str, ...]:
    """How ``value`` would have been said in the way in which ``heard`` was, for a second opinion on which of them it was.

    None where that is no name and no digits, nor where only "-teen" and "-ty" differ: our network learnt to tell those.
    """
    reading = read(heard)
    form = reading.form
    if reading.value is not None and _swapped(reading.value, value):
        return ()
    if form == "digits":
        return (" ".join(name(int(digit), "plain") for digit in str(value)),)
    forms = FORMS if form == "both" else [one for one in FORMS if one == form]
    return tuple(dict.fromkeys(name(value, one).replace("-", " ") for one in forms))
