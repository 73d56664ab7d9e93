"""What a sitting hears, feels, speaks and is told with: all that differs from face to face."""

from collections.abc import Callable
from dataclasses import dataclass

from sayit.hearing.loading import Loading
from sayit.practice.question import Question
from sayit.sitting.ears import Ears
from sayit.sitting.hands import Hands
from sayit.sitting.parent import Parent
from sayit.speaking.voice import Voice

__all__ = ["PAUSE_SECONDS", "Devices"]

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
