"""Where the child's spoken answer comes from."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from sayit.numbers import may_go_on
from sayit.practice.question import Question

if TYPE_CHECKING:
    import numpy as np

    from sayit.hearing.capture import Source
    from sayit.hearing.endpoint import EndRule
    from sayit.hearing.heard import Heard

Hear = Callable[["np.ndarray"], "Heard | None"]
"""What is heard in samples, or None where the recogniser is not there yet."""

Complete = Callable[["Heard"], bool]
"""Whether nothing can follow what was heard."""

SEEN_EVERY = 0.3
"""Seconds of voice after which what was heard so far is shown."""

_MAY_FOLLOW = 10_000
"""From here on "thousand" may follow any name."""

TRIES = 3
"""How often a question is put before the parent is needed."""


@dataclass(frozen=True, slots=True)
class Sound:
    """One answer.

    ``samples`` are float32 mono at 16 kHz, empty where no voice was heard;
    ``response_seconds`` is the time from the end of the prompt to the start of
    the voice, or None. ``heard`` is what was heard in just these samples, where that was done while listening.
    ``advice`` says what to do about a level that is not good, or is empty. ``claps`` is how many claps came
    where they are an answer and nothing was said, else None; ``sure`` is False where there may have been more or fewer.
    """

    samples: "np.ndarray"
    response_seconds: float | None
    heard: "Heard | None" = None
    advice: str = ""
    claps: int | None = None
    sure: bool = True


class Ears(Protocol):
    """A source of spoken answers; ``source`` is its name in the record."""

    source: str

    def listen(
        self, question: Question, attempt: int, interrupted: Callable[[], bool], hear: Hear, complete: Complete
    ) -> Sound | None:
        """One answer; None once ``interrupted()`` is true. ``MicrophoneLost`` when the source fails.

        In a pause ``hear`` is asked, and an answer that is ``complete`` is over then.
        """
        ...


class MicrophoneEars:
    """The open microphone of this machine, or what else gives blocks of sound."""

    source = "microphone"

    def __init__(self, microphone: "Source", rule: "EndRule") -> None:
        self._microphone = microphone
        self._rule = rule

    def listen(
        self, question: Question, attempt: int, interrupted: Callable[[], bool], hear: Hear, complete: Complete
    ) -> Sound | None:
        """One answer, whatever the question."""
        return catch(self._microphone, self._rule, interrupted, hear, complete, every(question), claps=question.clapped)


def nothing_follows(heard: "Heard", value: int) -> bool:
    """Whether this is a clear answer that nothing can follow, where ``value`` was asked."""
    return value < _MAY_FOLLOW and heard.clear and not may_go_on(heard.words)


def every(question: Question) -> float | None:
    """After how many seconds of voice what was heard so far is to be seen; None where it is not."""
    return SEEN_EVERY if question.grows else None


def catch(
    source: "Source",
    rule: "EndRule",
    interrupted: Callable[[], bool],
    hear: Hear,
    complete: Complete,
    every: float | None = None,
    *,
    claps: bool = False,
) -> Sound | None:
    """One answer from a source of sound, by the end rule; None once ``interrupted()`` is true.

    ``every`` so many seconds of voice ``hear`` is asked too. With ``claps`` they are counted, and are the answer where
    nothing was said.
    """
    from sayit.hearing.claps import Clapping
    from sayit.hearing.endpoint import listen, open_detector
    from sayit.sound.level import measure

    clapping = Clapping(open_detector(), rule.quiet) if claps else None
    take = listen(
        source.blocks(),
        clapping.detect if clapping else open_detector(),
        rule,
        watch=clapping.watch if clapping else None,
        stop=(lambda: clapping.over or interrupted()) if clapping else interrupted,
        hear=hear,
        complete=complete,
        every=every,
    )
    if clapping and clapping.heard.count and not take.voiced and (clapping.over or take.why != "stopped"):
        heard = clapping.heard
        return Sound(take.samples, heard.first, claps=heard.count, sure=heard.sure)
    if take.why == "stopped":
        return None
    level = measure(take.captured)
    # A quiet room looks like a noisy one where nobody speaks; only a dead line is sure then.
    doubtful = level.verdict != "good" if take.voiced else level.verdict == "nothing"
    return Sound(take.samples, take.response_seconds, take.heard, level.advice if doubtful else "")
