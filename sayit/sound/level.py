"""How loud a recording is, and whether the listener can work with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from sayit.sound.audio import RATE

__all__ = ["Level", "active_dbfs", "measure"]

Verdict = Literal["good", "too quiet", "too loud", "noisy room", "nothing"]

SILENCE = -96.0
"""The lowest level told, in dBFS: the step of 16-bit sound."""

_FRAME_S = 0.02
_ACTIVE_BELOW_PEAK = 25.0
_FULL = 0.99
_CLIP_RUN = 3

# Common practice, no source: a talker's active level near -25 dBFS leaves room
# for peaks, and recognisers suffer below about 10 dB of speech over noise.
_QUIET = -45.0
_CLIPPED = 0.001
_SNR = 10.0
_STEP = -60.0

_ADVICE = {
    "good": "Nothing to do.",
    "too quiet": "Move the microphone nearer, or turn its level up in the system's sound settings.",
    "too loud": "Turn the microphone's level down in the system's sound settings, or sit a little further away.",
    "noisy room": "Shut the door or the window, switch off what hums, or move the microphone nearer to the child.",
    "nothing": "No sound arrives: check that the microphone is plugged in, chosen and not muted.",
}


@dataclass(frozen=True, slots=True)
class Level:
    """Levels in dB relative to full scale (a square wave of 1.0 is 0 dBFS).

    ``speech`` is the level while somebody speaks, ``noise`` that of the quietest
    tenth of the time, ``clipped`` the fraction of samples stuck at full scale.
    ``snr`` is speech over noise in dB; it is an estimate, and means nothing for
    a recording without both speech and a pause.
    """

    rms: float
    peak: float
    speech: float
    noise: float
    snr: float
    clipped: float
    verdict: Verdict
    advice: str


def measure(samples: np.ndarray, rate: int = RATE) -> Level:
    """Level of mono ``float32`` samples in [-1, 1], with a verdict and what to do about it.

    Clipping is told before anything else, since it spoils all other figures.
    """
    samples = np.asarray(samples, dtype=np.float32)
    frames = _frames(samples, rate)
    peak = _db(float(np.abs(samples).max(initial=0.0)))
    noise = float(np.percentile(frames, 10)) if frames.size else SILENCE
    speech = active_dbfs(samples, rate)
    clipped = _clipped(samples)
    snr = speech - noise
    verdict: Verdict
    if peak <= _STEP:
        verdict = "nothing"
    elif clipped > _CLIPPED:
        verdict = "too loud"
    elif speech < _QUIET:
        verdict = "too quiet"
    elif snr < _SNR:
        verdict = "noisy room"
    else:
        verdict = "good"
    rms = _db(float(np.sqrt(np.mean(samples**2)))) if samples.size else SILENCE
    return Level(rms, peak, speech, noise, snr, clipped, verdict, _ADVICE[verdict])


def active_dbfs(samples: np.ndarray, rate: int = RATE) -> float:
    """Level in dBFS while somebody speaks, so that pauses do not count.

    Taken over the 20 ms frames that are within 25 dB of the loudest and nearer
    to it than to the quietest tenth: a gate as in ITU-T P.56, without its
    envelope and hangover.
    """
    frames = _frames(np.asarray(samples, dtype=np.float32), rate)
    if not frames.size:
        return SILENCE
    top = frames.max()
    active = frames[frames >= max(top - _ACTIVE_BELOW_PEAK, (top + np.percentile(frames, 10)) / 2)]
    return float(10 * np.log10(np.mean(10 ** (active / 10))))


def _frames(samples: np.ndarray, rate: int) -> np.ndarray:
    size = int(rate * _FRAME_S)
    whole = len(samples) // size * size
    if not whole:
        return np.empty(0, dtype=np.float64)
    power = np.mean(samples[:whole].reshape(-1, size).astype(np.float64) ** 2, axis=1)
    levels: np.ndarray = np.maximum(10 * np.log10(np.maximum(power, 1e-12)), SILENCE)
    return levels


def _clipped(samples: np.ndarray) -> float:
    """Fraction of samples in runs of three or more at full scale: one alone may be a true peak."""
    if not samples.size:
        return 0.0
    full = np.concatenate([[False], np.abs(samples) >= _FULL, [False]])
    edges = np.flatnonzero(np.diff(full.astype(np.int8)))
    runs = edges[1::2] - edges[::2]
    return float(runs[runs >= _CLIP_RUN].sum() / samples.size)


def _db(amplitude: float) -> float:
    return max(SILENCE, float(20 * np.log10(max(amplitude, 1e-12))))
