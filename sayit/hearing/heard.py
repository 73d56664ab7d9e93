"""What every recogniser gives back.

A listener turns one answer (float32 mono samples at 16 kHz) into the best few
word strings.  It never decides whether the answer was right: that is
:func:`sayit.numbers.judge`, so that a new recogniser changes nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol, runtime_checkable

if TYPE_CHECKING:
    import numpy as np

__all__ = ["LONGEST_SECONDS", "Heard", "Hypothesis", "Listener"]

LONGEST_SECONDS = 28
"""What is longer is no answer: no listener hears it."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One way of hearing the answer: number words and a probability in 0..1."""

    words: str
    score: float


@dataclass(frozen=True, slots=True)
class Heard:
    """What a listener made of one answer.

    ``words`` is empty when the sound was no number (other speech, a cough,
    silence).  ``clear`` is false when another number, or no number at all, was
    nearly as likely: the answer must then be asked for again, never judged
    wrong.  ``confidence`` is the listener's probability of ``words`` (0..1);
    the times are seconds.  ``scores`` are the phrases it thought of with log scores
    in nats, for :mod:`sayit.hearing.doubt`; empty where a listener has none.
    """

    words: str
    confidence: float
    clear: bool
    alternatives: tuple[Hypothesis, ...]
    listener: str
    audio_seconds: float
    work_seconds: float
    scores: Mapping[str, float] = field(default_factory=dict, repr=False, compare=False)


@runtime_checkable
class Listener(Protocol):
    """A recogniser of spoken numbers."""

    name: str

    def hear(self, samples: np.ndarray) -> Heard:
        """Hear one answer: float32 samples of shape ``(n,)`` at 16 kHz in [-1, 1]."""

    def weigh(self, samples: np.ndarray, phrases: Sequence[str]) -> Mapping[str, float]:
        """A second opinion on which of ``phrases`` was said: log scores in nats; empty where there is none."""
        ...
