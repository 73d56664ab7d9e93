"""From scored word strings to what was heard: grammar, pace and doubt.

Pure: no recogniser and no device in here.  A recogniser proposes word strings
with log scores; this module weighs them by what a spoken number can be.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

from sayit.hearing.heard import Hypothesis
from sayit.numbers import read, syllables

__all__ = ["Weights", "choose", "credible", "weigh", "well_formed"]


@dataclass(frozen=True, slots=True)
class Weights:
    """How much grammar and pace count, in natural-log units.

    Fitted on synthetic voices and on the Free Spoken Digit Dataset; the pace is
    a log-normal around ``syllable_seconds`` (children's slow, careful speech).
    """

    per_word: float = -0.2
    malformed: float = 4.0
    digit_by_digit: float = 1.5
    repeat: float = 1.0
    syllable_seconds: float = 0.33
    pace_spread: float = 0.3
    per_missing_stretch: float = 1.0


def weigh(words: str, score: float, voice_seconds: float, stretches: int, weights: Weights = Weights()) -> float:
    """Add what grammar and pace say of ``words`` to a recogniser's log score.

    ``voice_seconds`` is the time a voice was heard, ``stretches`` in how many runs
    parted by quiet: a name cannot have fewer words than runs.
    """
    spoken = words.split()
    if not spoken:
        return -math.inf
    reading = read(words)
    total = score + weights.per_word * len(spoken)
    if not well_formed(words):
        total -= weights.malformed
    if reading.form == "digits" and len(spoken) > 1:
        total -= weights.digit_by_digit
    # Decoders of this kind fall into repeating themselves; children rarely do.
    total -= weights.repeat * (_repeats(spoken) - 1)
    total -= 0.5 * _pace(words, voice_seconds, weights) ** 2
    return total - weights.per_missing_stretch * max(0, stretches - len(spoken))


def credible(words: str, voice_seconds: float, weights: Weights = Weights()) -> bool:
    """Whether the words are a number put together well and said at a pace that people speak at."""
    return well_formed(words) and abs(_pace(words, voice_seconds, weights)) < 3


def _pace(words: str, voice_seconds: float, weights: Weights) -> float:
    """Standard deviations by which the words are slower (positive) or faster than usual."""
    pace = max(voice_seconds, 0.1) / len(syllables(words))
    return math.log(pace / weights.syllable_seconds) / weights.pace_spread


def well_formed(words: str) -> bool:
    """Whether the words are one number name, a string of digits or a count."""
    reading = read(words)
    if reading.form in ("digits", "counted"):
        return _longest_run(words.split()) < 5
    return reading.form in ("plain", "explicit", "both") and not reading.reasons


def _longest_run(spoken: list[str]) -> int:
    return max((len(list(same)) for _, same in groupby(spoken)), default=0)


def _repeats(spoken: list[str]) -> int:
    """How many times one run of two words or more makes up the whole: 1 when it does not."""
    for length in range(2, len(spoken) // 2 + 1):
        times, rest = divmod(len(spoken), length)
        if not rest and spoken == spoken[:length] * times:
            return times
    return 1


def choose(scores: Mapping[str, float], keep: int = 5) -> tuple[Hypothesis, ...]:
    """Turn log scores into the best few word strings with probabilities, best first.

    Strings that mean the same (value, form and digits) are one hypothesis: the
    likelier wording speaks for both.
    """
    if not scores:
        return ()
    top = max(scores.values())
    if top == -math.inf:
        return ()
    meaning: dict[object, tuple[float, str]] = {}
    mass: dict[object, float] = {}
    for words, score in scores.items():
        reading = read(words)
        key: object = (reading.value, reading.form, reading.digits) if reading.value is not None else words
        mass[key] = mass.get(key, 0.0) + math.exp(score - top)
        if key not in meaning or score > meaning[key][0]:
            meaning[key] = (score, words)
    whole = sum(mass.values())
    ranked = sorted(mass, key=mass.__getitem__, reverse=True)[:keep]
    return tuple(Hypothesis(meaning[key][1], mass[key] / whole) for key in ranked)
