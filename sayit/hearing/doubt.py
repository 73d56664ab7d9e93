"""Whether the number asked for may have been said after all: to be asked before a child is told that it was wrong.

Pure.  The question never changes what is heard; it only decides between judging wrong and asking again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from sayit.numbers import FORMS, name, read, slips

if TYPE_CHECKING:
    from sayit.hearing.heard import Heard

__all__ = ["NEAR", "NEAR_PART", "NEAR_SWAPPED", "NONE", "Evidence", "margin", "phrases_for", "said_after_all"]

NEAR = 13.0
"""Nats; under them the number asked for may be what was said."""

NEAR_PART = 5.0
"""The same where the number asked for is the beginning or the end of what was heard: speech beside a number may be
anything, so that "forty five" is never far from "one hundred forty five"."""

NEAR_SWAPPED = 5.0
"""The same where only "-teen" and "-ty" differ: those lie close together also when they are said well."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the answers to one question tell for the number ``heard`` and against the one asked for, in nats.

    ``ahead`` is how far the listener had it ahead in all of them, ``opinion`` likewise a second opinion where it was
    asked (below 0: behind). ``doubt`` is whether the number asked for may have been said after all: "swapped" where
    only "-teen" and "-ty" differ, "near" otherwise, None for no doubt.
    """

    heard: int | None = None
    ahead: float = 0.0
    opinion: float = 0.0
    doubt: Literal["near", "swapped"] | None = None


NONE = Evidence()


def margin(scores: Mapping[str, float], value: int) -> float:
    """Nats by which the best phrase is ahead of the best one that reads as ``value``; infinite if there is none.

    ``scores`` are phrases with log scores, as ``Heard.scores`` has them.
    """
    asked = _best(scores, value)
    return max(score for words, score in scores.items() if words) - scores[asked] if asked else math.inf


def said_after_all(
    heard: Heard, value: int, weigh: Callable[[Sequence[str]], Mapping[str, float]], before: Evidence = NONE
) -> Evidence:
    """Whether ``value`` may have been said though another number was heard: by the listener, or by a second opinion.

    ``weigh`` gives the log scores in nats that a second opinion has of phrases, as ``Listener.weigh`` does. ``before``
    are the answers before to the same question: they add up where they were heard as the same number.
    """
    other = read(heard.words).value
    if other in (None, value):
        return NONE
    if before.heard != other:
        before = NONE
    ahead = before.ahead + margin(heard.scores, value)
    swapped = _swapped(heard.words, value)
    if ahead <= (NEAR_SWAPPED if swapped else _near(heard.scores, value)):
        return Evidence(other, ahead, before.opinion, "swapped" if swapped else "near")
    opinion = before.opinion + _opinion(heard.words, value, weigh)
    return Evidence(other, ahead, opinion, "near" if opinion < 0 else None)


def _opinion(heard: str, value: int, weigh: Callable[[Sequence[str]], Mapping[str, float]]) -> float:
    """Nats by which a second opinion has what was heard ahead of ``value``; 0 where it has none."""
    # "And" tells no number from another.
    words = heard.replace(" and ", " ")
    asked = phrases_for(words, value)
    weighed = weigh((words, *asked)) if asked else {}
    known = [weighed[phrase] for phrase in asked if phrase in weighed]
    return weighed[words] - max(known) if known and words in weighed else 0.0


def _near(scores: Mapping[str, float], value: int) -> float:
    asked = _best(scores, value).split()
    best = max((w for w in scores if w), key=scores.__getitem__, default="").split()
    return NEAR_PART if asked in (best[: len(asked)], best[-len(asked) :]) else NEAR


def _best(scores: Mapping[str, float], value: int) -> str:
    """The likeliest phrase that reads as ``value``, or nothing."""
    return max((w for w in scores if w and read(w).value == value), key=scores.__getitem__, default="")


def _swapped(heard: str, value: int) -> bool:
    """Whether what was heard differs from ``value`` as thirteen does from thirty, or the other way round."""
    other = read(heard).value
    return other is not None and slips(value, other) == ("teen-ty-swap",)


def phrases_for(heard: str, value: int) -> tuple[str, ...]:
    """How ``value`` would have been said in the way in which ``heard`` was, for a second opinion on which of them it was.

    None where that is no name and no digits, nor where only "-teen" and "-ty" differ: our network learnt to tell those.
    """
    if _swapped(heard, value):
        return ()
    form = read(heard).form
    if form == "digits":
        return (" ".join(name(int(digit), "plain") for digit in str(value)),)
    forms = FORMS if form == "both" else [one for one in FORMS if one == form]
    return tuple(dict.fromkeys(name(value, one).replace("-", " ") for one in forms))
