"""Where the child's answer comes from."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from sayit.practice.question import Question

if TYPE_CHECKING:
    import numpy as np

    from sayit.hearing.capture import Microphone, Source
    from sayit.hearing.endpoint import EndRule

Settled = Callable[["np.ndarray"], bool]

TRIES = 3
"""How often a question is put before the parent is needed."""


@dataclass(frozen=True, slots=True)
class Sound:
    """One answer.

    ``samples`` are float32 mono at 16 kHz, empty where no voice was heard;
    ``response_seconds`` is the time in seconds from the end of the prompt to the start of
    the voice, or None. ``advice`` says what to do about a level that is not good, or is empty.
    """

    samples: "np.ndarray"
    response_seconds: float | None
    advice: str = ""


class Ears(Protocol):
    """A source of answers; ``source`` is its name in the record."""

    source: str

    def tries(self, question: Question) -> int:
        """How often this question can be put before the parent is needed."""
        ...

    def listen(
        self, question: Question, attempt: int, interrupted: Callable[[], bool], settled: Settled | None = None
    ) -> Sound | None:
        """One answer; None once ``interrupted()`` is true. ``MicrophoneLost`` when the source fails.

        ``settled`` tells of samples whether they are an answer that nothing can follow.
        """
        ...


class MicrophoneEars:
    """The open microphone of this machine."""

    source = "microphone"

    def __init__(self, microphone: "Microphone", rule: "EndRule") -> None:
        self._microphone = microphone
        self._rule = rule

    def tries(self, question: Question) -> int:
        return TRIES

    def listen(
        self, question: Question, attempt: int, interrupted: Callable[[], bool], settled: Settled | None = None
    ) -> Sound | None:
        return catch(self._microphone, self._rule, interrupted, settled)


def catch(
    source: "Source", rule: "EndRule", interrupted: Callable[[], bool], settled: Settled | None = None
) -> Sound | None:
    """One answer from a source of sound, by the end rule; None once ``interrupted()`` is true."""
    from sayit.hearing.endpoint import listen, open_detector
    from sayit.sound.level import measure

    take = listen(source.blocks(), open_detector(), rule, stop=interrupted, settled=settled)
    if take.why == "stopped":
        return None
    level = measure(take.captured)
    # A quiet room looks like a noisy one where nobody speaks; only a dead line is sure then.
    doubtful = level.verdict != "good" if take.heard else level.verdict == "nothing"
    return Sound(take.samples, take.onset_s, level.advice if doubtful else "")
