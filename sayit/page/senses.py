"""Ears, voice and words for a sitting on the page."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Iterator

import numpy as np

from sayit.hearing.capture import MicrophoneLost, Source
from sayit.hearing.endpoint import EndRule
from sayit.page.screen import Screen, ScreenAway
from sayit.page.settings import Settings
from sayit.practice.question import Question
from sayit.sitting.ears import TRIES, Settled, Sound, catch
from sayit.sitting.events import Event, Listening, Speaking
from sayit.speaking.playback import NoLoudspeaker
from sayit.speaking.synthesis import NoVoice
from sayit.speaking.utterance import Utterance
from sayit.speaking.voice import SPOKEN_RATE, SpokenVoice, VoiceSettings, open_voice

__all__ = ["Metered", "PageEars", "PageVoice", "end_rule", "english_voices", "loudness"]

_FLOOR, _FULL = -60.0, -12.0


def english_voices() -> tuple[str, ...]:
    """Names of this machine's English voices; none where it has no speech system."""
    try:
        import pyttsx3

        voices = pyttsx3.init().getProperty("voices") or []
    except Exception:
        # Drivers raise whatever their system does; the voice itself tells the parent what is wrong.
        return ()
    spoken = [voice for voice in voices if any(str(one).lower().startswith("en") for one in voice.languages or [])]
    return tuple(dict.fromkeys(voice.name or voice.id for voice in spoken))


def end_rule(settings: Settings) -> EndRule:
    """The end rule that the parent set."""
    return EndRule(patience=settings.patience, quiet=settings.quiet)


def loudness(block: np.ndarray) -> float:
    """How far a level meter is out for a block, 0 (-60 dBFS and below) to 1 (-12 dBFS)."""
    level = 10 * math.log10(float(np.mean(np.square(block, dtype=np.float64))) + 1e-12)
    return min(1.0, max(0.0, (level - _FLOOR) / (_FULL - _FLOOR)))


class Metered:
    """A source that tells ``meter`` the loudness of each block on its way."""

    def __init__(self, source: Source | Screen, meter: Callable[[float], None]) -> None:
        self._source = source
        self._meter = meter

    def blocks(self) -> Iterator[np.ndarray]:
        return self._told(self._source.blocks())

    def _told(self, blocks: Iterator[np.ndarray]) -> Iterator[np.ndarray]:
        for block in blocks:
            self._meter(loudness(block))
            yield block


class PageEars:
    """Hears answers from ``source``.

    Where what was being heard became stale (the screen was reloaded, or ``restart`` was called), ``remind``
    says the question again, and listening begins anew.
    """

    source = "microphone"

    def __init__(
        self,
        source: Source | Screen,
        rule: Callable[[], EndRule],
        meter: Callable[[float], None],
        remind: Callable[[], object] = lambda: None,
    ) -> None:
        self._source = source
        self._rule = rule
        self._metered = Metered(source, meter)
        self._remind = remind
        self._times = 0

    def restart(self) -> None:
        """What is being heard is stale (the machine slept): begin again."""
        self._times += 1

    def tries(self, question: Question) -> int:
        return TRIES

    def listen(
        self, question: Question, attempt: int, interrupted: Callable[[], bool], settled: Settled | None = None
    ) -> Sound | None:
        while True:
            times = self._times
            try:
                sound = catch(self._metered, self._rule(), lambda: times != self._times or interrupted(), settled)
                if sound or times == self._times:
                    return sound
            except ScreenAway as away:
                if not self._source.wait(interrupted):
                    if interrupted():
                        return None
                    raise MicrophoneLost(str(away)) from away
            # Half an answer is no answer: the child is asked once more, and nothing is judged.
            self._remind()


class PageVoice:
    """The machine's voice, heard from the child's screen, or from the machine's own loudspeaker where ``screen`` is None.

    It follows the settings from one utterance to the next. False while it cannot
    be heard; ``trouble`` tells why.
    """

    _one_at_a_time = threading.Lock()

    def __init__(self, settings: Callable[[], Settings], screen: Screen | None, stop: Callable[[], bool]) -> None:
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

    def __bool__(self) -> bool:
        if self._lost and self._screen and self._screen.state == "ready":
            self._lost = None
        return self.trouble is None

    def say(self, utterance: Utterance, *, stop: Callable[[], bool] | None = None) -> bool:
        """Say it and return when it has been heard; false where it was not, as ``Voice.say`` has it."""
        self._last = utterance
        if self._screen is None:
            return self._voice().say(utterance, stop=self._stop)
        try:
            with self._one_at_a_time:
                samples = self._voice().render(utterance)
            return self._screen.play(samples, SPOKEN_RATE, self._stop)
        except (NoVoice, NoLoudspeaker) as error:
            self._lost = str(error)
            return False

    def repeat(self, report: Callable[[Event], None]) -> None:
        """Say the last utterance again, and that it is the child's turn then."""
        if self._last:
            report(Speaking(self._last.text, bool(self)))
            self.say(self._last)
            report(Listening())

    def _voice(self) -> SpokenVoice:
        settings = self._settings()
        wanted = VoiceSettings(rate=settings.rate, volume=settings.volume, voice=settings.voice or None)
        if self._opened is None or self._opened[0] != wanted:
            with self._one_at_a_time:
                self._opened = (wanted, open_voice(wanted, aloud=self._screen is None))
        return self._opened[1]
