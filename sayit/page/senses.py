"""Ears and voice for a sitting on the page."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from sayit.hearing.capture import MicrophoneLost, Source
from sayit.hearing.endpoint import EndRule
from sayit.page.screen import Screen, ScreenAway, plain
from sayit.practice.lighting import Light, lights
from sayit.practice.question import Question
from sayit.sitting.devices import voice_settings
from sayit.sitting.ears import Complete, Hear, Sound, catch, every
from sayit.sitting.events import Event, Listening, Speaking
from sayit.speaking.playback import NoLoudspeaker
from sayit.speaking.synthesis import NoVoice
from sayit.speaking.utterance import Part, Utterance
from sayit.speaking.voice import Begun, SpokenVoice, VoiceSettings, open_voice
from sayit.store.settings import Settings

__all__ = ["Metered", "PageEars", "PageVoice", "loudness"]

_FLOOR, _FULL = -60.0, -12.0


def loudness(block: np.ndarray) -> float:
    """How far a level meter is out for a block, 0 (-60 dBFS and below) to 1 (-12 dBFS)."""
    level = 10 * math.log10(float(np.mean(np.square(block, dtype=np.float64))) + 1e-12)
    return min(1.0, max(0.0, (level - _FLOOR) / (_FULL - _FLOOR)))


class Metered:
    """A source that tells ``meter`` the loudness of each block on its way."""

    def __init__(self, source: Source, meter: Callable[[float], None]) -> None:
        self._source = source
        self._meter = meter

    def blocks(self) -> Iterator[np.ndarray]:
        """The source's own blocks."""
        return self._told(self._source.blocks())

    def _told(self, blocks: Iterator[np.ndarray]) -> Iterator[np.ndarray]:
        for block in blocks:
            self._meter(loudness(block))
            yield block


class PageEars:
    """Hears answers from ``source``.

    Where what was being heard became stale (the screen was reloaded, or ``restart`` was called), ``remind``
    says the question again, and listening begins anew. A screen that went away is waited for by ``wait``, which is
    False once it is given up.
    """

    source = "microphone"

    def __init__(
        self,
        source: Source,
        rule: Callable[[], EndRule],
        meter: Callable[[float], None],
        remind: Callable[[], object] = lambda: None,
        wait: Callable[[Callable[[], bool]], bool] = lambda interrupted: False,
    ) -> None:
        self._rule = rule
        self._metered = Metered(source, meter)
        self._remind = remind
        self._wait = wait
        self._times = 0

    def restart(self) -> None:
        """What is being heard is stale (the machine slept): begin again."""
        self._times += 1

    def listen(
        self, question: Question, attempt: int, interrupted: Callable[[], bool], hear: Hear, complete: Complete
    ) -> Sound | None:
        """One answer, whatever the question."""
        while True:
            times = self._times

            def stale(times: int = times) -> bool:
                return times != self._times or interrupted()

            try:
                sound = catch(
                    self._metered, self._rule(), stale, hear, complete, every(question), claps=question.clapped
                )
                if sound or times == self._times:
                    return sound
            except ScreenAway as away:
                if not self._wait(interrupted):
                    if interrupted():
                        return None
                    raise MicrophoneLost(str(away)) from away
            # Half an answer is no answer: the child is asked once more, and nothing is judged.
            self._remind()


class PageVoice:
    """The machine's voice, heard from the child's screen, or from the machine's own loudspeaker where ``screen`` is None.

    What lights up while it speaks goes to the page with the sound, or by ``tell``.
    It follows the settings from one utterance to the next. False while it cannot
    be heard; ``trouble`` tells why.
    """

    _one_at_a_time = threading.Lock()

    def __init__(
        self,
        settings: Callable[[], Settings],
        screen: Screen | None,
        stop: Callable[[], bool],
        tell: Callable[[dict[str, Any]], None] = lambda message: None,
    ) -> None:
        self._tell = tell
        self._settings = settings
        self._screen = screen
        self._stop = stop
        self._opened: tuple[VoiceSettings, SpokenVoice] | None = None
        self._lost: str | None = None
        self._last: Utterance | None = None

    @property
    def trouble(self) -> str | None:
        """One line for the parent where the voice cannot be heard, else None."""
        return self._voice().trouble or self._lost

    @property
    def natural(self) -> bool:
        """Whether a voice that comes with sayit speaks."""
        return self._voice().natural

    def __bool__(self) -> bool:
        if self._lost and self._screen and self._screen.state == "ready":
            self._lost = None
        return self.trouble is None

    def say(self, utterance: Utterance, *, stop: Callable[[], bool] | None = None, begun: Begun | None = None) -> bool:
        """Say it and return when it has been heard; false where it was not, as ``Voice.say`` has it."""
        self._last = utterance
        stop = stop or self._stop
        if self._screen is None:

            def lit(parts: tuple[Part, ...]) -> None:
                self._tell({"lights": plain(_lights(utterance, parts))})
                if begun:
                    begun(parts)

            return self._voice().say(utterance, stop=stop, begun=lit)
        try:
            voice = self._voice()
            with self._one_at_a_time:
                spoken = voice.render(utterance)
            if begun:
                begun(spoken.parts)
            return self._screen.play(spoken, stop, _lights(utterance, spoken.parts))
        except (NoVoice, NoLoudspeaker) as error:
            self._lost = str(error)
            return False

    def repeat(self, report: Callable[[Event], None]) -> None:
        """Say the last utterance again, and that it is the child's turn then."""
        if self._last:
            report(Speaking(self._last.text, bool(self), self._last.masked))
            self.say(self._last)
            report(Listening())

    def _voice(self) -> SpokenVoice:
        wanted = voice_settings(self._settings())
        if self._opened is None or self._opened[0] != wanted:
            with self._one_at_a_time:
                self._opened = (wanted, open_voice(wanted, aloud=self._screen is None))
        return self._opened[1]


def _lights(utterance: Utterance, timed: tuple[Part, ...]) -> tuple[Light, ...]:
    """What lights up while the numbers of an utterance are said."""
    parts = list(timed)
    found: tuple[Light, ...] = ()
    for piece in utterance.pieces:
        if piece.kind == "number":
            own: list[Part] = []
            while parts and sum(len(part.words.split()) for part in own) < len(piece.words.split()):
                own.append(parts.pop(0))
            found += lights([(part.words, part.start, part.end) for part in own])
    return found
