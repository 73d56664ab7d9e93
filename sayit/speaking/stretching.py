"""Speech slower or faster at its own pitch."""

from __future__ import annotations

import numpy as np

__all__ = ["stretched"]

_FRAME_S = 0.03
_SEEK_S = 0.008


def stretched(samples: np.ndarray, rate: int, speed: float) -> np.ndarray:
    """Mono ``samples`` said ``speed`` times as fast (0.8 to 1.2), pitch kept.

    WSOLA (Verhelst and Roelands, ICASSP 1993): frames of 30 ms, half over each other, each taken from where the
    sound goes on most like the one before, within 8 ms of its place.  The general-purpose libraries at hand stretch
    in the frequency domain, which blurs the burst of a consonant in clips as short as these.
    """
    if abs(speed - 1) < 0.02 or len(samples) < 4 * _FRAME_S * rate:
        return samples
    half, seek = int(rate * _FRAME_S / 2), int(rate * _SEEK_S)
    window = np.hanning(2 * half + 1)[:-1].astype(np.float32)
    padded = np.pad(samples, (half + seek, 3 * half + 2 * seek)).astype(np.float32)
    frames = int(np.ceil(len(samples) / speed / half)) + 1
    made = np.zeros((frames + 1) * half, dtype=np.float32)
    follows = padded[seek : seek + 2 * half]
    for frame in range(frames):
        place = seek + int(frame * half * speed)
        if place + 3 * half + seek > len(padded):
            break
        around = padded[place - seek : place + seek + 2 * half]
        likeness = np.correlate(around, follows, "valid")
        start = place - seek + int(likeness.argmax())
        made[frame * half : (frame + 2) * half] += window * padded[start : start + 2 * half]
        follows = padded[start + half : start + 3 * half]
    return made[half : half + int(len(samples) / speed)]
