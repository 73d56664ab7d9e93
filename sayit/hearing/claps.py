"""Counting the child's claps in blocks of sound.

A clap begins within milliseconds over the whole band and is over at once (Repp 1987, "The sound of two hands
clapping", Journal of the Acoustical Society of America 81: most of the energy within some 20 ms, broad spectra
with peaks between 0.5 and 3 kHz; figures from memory). A voice goes on after its hard sounds and was there
before its last ones; a knock on a table is low.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable

import numpy as np

from sayit.sound.audio import RATE

__all__ = ["Clapping", "Claps"]

_HOP = 64
_FRAME = 128
_HOP_S = _HOP / RATE
_BEFORE_S, _PEAK_S, _AFTER_S = 0.15, 0.032, 0.1
_APART_S = 0.13
"""Children clap syllables at 250 ms and more; what follows sooner is the same clap in the room."""
_RISES = 10.0
_OVER_ROOM = 14.0
_FADES = 7.0
_BRIGHT = -16.0
_BESIDE = -4.0
_LOUD_ENOUGH = -18.0
_ROOM_S = 1.5
_FLOOR = -90.0
# The levels are in dB: how much a clap rises over the 12 ms before it and over the room, how much has faded 40 to 100 ms
# after its peak, how bright it is (above 1.5 kHz against all), how loud beside what was there before, and beside the
# loudest clap so far. Chosen on the even seeds of ``tests.benchmarks.claps``; its figures are of the odd ones.


class Claps:
    """Counts claps; give it blocks of mono ``float32`` samples at 16 kHz, one after the other.

    ``count`` is how many there were, ``first`` and ``last`` when they were, in seconds from the first
    block (None before one). ``sure`` is False where something was heard that may have been one more. ``spoken`` is
    True where a sound like a clap came with a voice; such are not counted.
    """

    def __init__(self) -> None:
        self.count = 0
        self.first: float | None = None
        self.last: float | None = None
        self.spoken = False
        self._doubtful: list[float] = []
        self._chances: deque[tuple[float, float]] = deque(maxlen=16)
        self._rest = np.zeros(_FRAME - _HOP, dtype=np.float32)
        self._all: deque[float] = deque(maxlen=_frames(_ROOM_S))
        self._bright: deque[float] = deque(maxlen=_frames(_ROOM_S))
        self._heard = 0
        self._loudest = _FLOOR

    @property
    def seconds(self) -> float:
        """How much was heard."""
        return self._heard * _HOP_S

    @property
    def silence(self) -> float:
        """Seconds since the last clap; 0 before the first."""
        return 0.0 if self.last is None else self.seconds - self.last

    @property
    def sure(self) -> bool:
        """Whether no doubtful sound lies between the first clap and a second after the last."""
        if self.first is None or self.last is None or self.spoken:
            return False
        return not any(self.first - 1 < at < self.last + 1 for at in self._doubtful)

    def hear(self, block: np.ndarray, chance: float = 0.0) -> int:
        """Take in the next block with the chance of a voice in it, 0 to 1; the count after it."""
        self._chances.append((self.seconds, chance))
        samples = np.concatenate([self._rest, block.astype(np.float32)])
        whole = (len(samples) - _FRAME) // _HOP + 1
        frames = np.lib.stride_tricks.sliding_window_view(samples, _FRAME)[::_HOP][:whole]
        self._rest = samples[whole * _HOP :]
        power = np.square(np.abs(np.fft.rfft(frames * _WINDOW, axis=1)))
        for loud, bright in zip(_db(power[:, 1:].sum(axis=1)), _db(power[:, _SPLIT:].sum(axis=1)), strict=True):
            self._all.append(loud)
            self._bright.append(bright)
            self._heard += 1
            self._decide()
        return self.count

    def _decide(self) -> None:
        """Whether the frame that lies as far back as a clap takes to fade was the peak of one."""
        after, before, attack = _frames(_AFTER_S), _frames(_BEFORE_S), _frames(_PEAK_S)
        if len(self._all) < before + after + 1:
            return
        bright = np.array(self._bright)
        at = len(bright) - 1 - after
        peak = bright[at]
        # Most frames end here, before anything costly is looked at.
        if peak < bright[at - attack : at + attack + 1].max() or peak < _FLOOR / 2 - 20:
            return
        rises = (bright[at - attack : at + 1] - bright[at - attack - 2 : at - 1]).max() - _RISES
        over = peak - np.percentile(bright, 20) - _OVER_ROOM
        if min(rises, over) < -_NEARLY:
            return
        when = (self._heard - 1 - after) * _HOP_S
        if self.last is not None and when - self.last < _APART_S:
            return
        if max(chance for began, chance in self._chances if began > when - _BEFORE_S) >= _VOICE:
            # A child that says the syllables as well, or instead.
            self.spoken = True
            return
        every = np.array(self._all)
        loud = every[at - 1 : at + 2].max()
        faded = loud - every[at + _frames(0.04) :].mean()
        beside = loud - every[at - before : at - attack].max()
        brightness = bright[at - 1 : at + 2].max() - loud
        if self.last is not None and when - self.last < _BEFORE_S + 0.1:
            beside = 0.0
        marks = (
            rises,
            over,
            faded - _FADES,
            brightness - _BRIGHT,
            beside - _BESIDE,
            loud - self._loudest - _LOUD_ENOUGH,
        )
        if min(marks) >= 0:
            self.count += 1
            self.first = when if self.first is None else self.first
            self.last = when
            self._loudest = max(self._loudest, loud)
        elif min(marks) >= -_NEARLY:
            self._doubtful.append(when)


class Clapping:
    """Claps beside a voice: what :func:`sayit.hearing.endpoint.listen` is given where both are an answer.

    ``over`` is True once ``quiet`` seconds and a little more went by after the last clap and nothing was said.
    """

    def __init__(self, detector: Callable[[np.ndarray], float], quiet: float) -> None:
        self.heard = Claps()
        self._detector = detector
        self._quiet = quiet + _AFTER_S
        self._said = False

    @property
    def over(self) -> bool:
        """Whether the child has clapped and is done."""
        return bool(self.heard.count) and not self._said and self.heard.silence >= self._quiet

    def detect(self, block: np.ndarray) -> float:
        """The chance of a voice in the block, which is listened to for claps too."""
        chance = self._detector(block)
        self.heard.hear(block, chance)
        return chance

    def watch(self, _block: np.ndarray, state: str) -> None:
        """Take in whether somebody speaks."""
        self._said = state == "speaking"


_NEARLY = 4.0
_VOICE = 0.5
_WINDOW = np.hanning(_FRAME).astype(np.float32)
_SPLIT = round(1_500 / (RATE / _FRAME))


def _frames(seconds: float) -> int:
    return math.ceil(round(seconds / _HOP_S, 6))


def _db(power: np.ndarray) -> np.ndarray:
    found: np.ndarray = 10 * np.log10(power / (_FRAME * _FRAME / 4) + 1e-12)
    return found
