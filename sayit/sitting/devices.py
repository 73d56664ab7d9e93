"""What a sitting hears, feels, speaks and is told with: all that differs from face to face."""

from collections.abc import Callable
from dataclasses import dataclass

from sayit.hearing.endpoint import EndRule
from sayit.hearing.loading import Loading
from sayit.practice.question import Question
from sayit.sitting.ears import Ears
from sayit.sitting.hands import Hands
from sayit.sitting.parent import Parent
from sayit.speaking.voice import Voice, VoiceSettings
from sayit.store.settings import Settings

__all__ = ["PAUSE_SECONDS", "Devices", "end_rule", "voice_settings"]

PAUSE_SECONDS = 1.5
"""Time after a reply in which a parent can correct it before the next question."""


@dataclass(slots=True)
class Devices:
    """The devices of one sitting.

    ``ears`` are None while the parent must judge what they hear, and ``reopen`` is tried before each question then.
    ``hands`` are None where the child can put nothing down. ``can_ask`` tells whether a question can be asked here (is
    there something to show it on?). ``source`` says in the record where answers come from, ``pause`` is in seconds.
    """

    voice: Voice
    listener: Loading
    parent: Parent
    ears: Ears | None = None
    hands: Hands | None = None
    source: str = "microphone"
    pause: float = PAUSE_SECONDS
    reopen: Callable[[], Ears | None] = lambda: None
    can_ask: Callable[[Question], bool] = lambda question: True


def voice_settings(settings: Settings) -> VoiceSettings:
    """How the tool speaks, as the household set it."""
    return VoiceSettings(rate=settings.rate, volume=settings.volume, voice=settings.voice or None)


def end_rule(settings: Settings, *, quiet: float | None = None, patience: float | None = None) -> EndRule:
    """When an answer is over, as the household set it; ``quiet`` and ``patience`` in seconds go before."""
    return EndRule(
        quiet=settings.quiet if quiet is None else quiet,
        patience=settings.patience if patience is None else patience,
    )
