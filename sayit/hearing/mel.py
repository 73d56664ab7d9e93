"""Whisper's features: mel energies, with steady noise taken out."""

from __future__ import annotations

import functools
import math

import numpy as np

__all__ = ["log_mel", "quietened"]

_RATE, _SHIFT, _WINDOW, _MELS = 16_000, 160, 400, 80
_FLOOR_BIAS = 1.3  # the quietest frames lie under the mean of the noise
_QUIET_ROOM = 100.0  # 20 dB


def log_mel(samples: np.ndarray) -> np.ndarray:
    """Whisper's log-mel energies of shape (frames, 80), one row every 10 ms, both ends continued with zeros."""
    frames = max(1, len(samples) // _SHIFT)
    half = _WINDOW // 2
    padded = np.pad(np.asarray(samples, np.float32), (half, half + _SHIFT))
    pieces = np.lib.stride_tricks.sliding_window_view(padded, _WINDOW)[: frames * _SHIFT : _SHIFT]
    window = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(_WINDOW) / _WINDOW)).astype(np.float32)
    power = (np.abs(np.fft.rfft(pieces * window)) ** 2).astype(np.float32) @ _banks()
    energies = np.log10(np.maximum(quietened(power), 1e-10))
    scaled: np.ndarray = (np.maximum(energies, energies.max() - 8.0) + 4.0) / 4.0
    return scaled


def quietened(power: np.ndarray) -> np.ndarray:
    """Take steady noise out of mel power (frames, bands), as Boll 1979 does; quiet rooms are left alone.

    The floor is what the quietest fifth of each band's frames hold.
    """
    part = max(1, len(power) // 5)
    ordered = np.sort(power, axis=0)
    floor = ordered[:part].mean(axis=0) * _FLOOR_BIAS
    loud = np.sort(power.sum(axis=1))[-part:].mean()
    if loud > _QUIET_ROOM * floor.sum():
        return power
    cleaner: np.ndarray = np.maximum(power - floor, 0.3 * power)
    return cleaner


@functools.cache
def _banks() -> np.ndarray:
    """Slaney's mel filters, shape (201, 80), 0 to 8,000 Hz."""
    top = 15.0 + 27.0 * math.log(8.0) / math.log(6.4)
    mels = np.linspace(0.0, top, _MELS + 2)
    points = np.where(mels < 15.0, mels * 200.0 / 3.0, 1000.0 * np.exp(math.log(6.4) / 27.0 * (mels - 15.0)))
    at = np.linspace(0, _RATE / 2, _WINDOW // 2 + 1)[:, None]
    low, mid, high = points[:-2], points[1:-1], points[2:]
    filters = np.minimum((at - low) / (mid - low), (high - at) / (high - mid))
    made: np.ndarray = (np.maximum(filters, 0.0) * (2.0 / (high - low))).astype(np.float32)
    return made
