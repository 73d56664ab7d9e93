"""How much of a recording is a voice, and in how many stretches.

The voice activity detector is Silero's network (MIT) as in
:func:`sayit.hearing.endpoint.open_detector`; a chunk is 512 samples, 32 ms at 16 kHz.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

__all__ = ["CHUNK", "Voiced", "chances", "voiced"]

CHUNK = 512
"""Samples that the detector judges at a time (32 ms at 16 kHz)."""

_VOICED = 0.4
_GAP = 6


@dataclass(frozen=True, slots=True)
class Voiced:
    """Where the voice is: seconds of it, stretches parted by 0.2 s of quiet or more,
    and the samples from its first chunk to the end of its last.
    """

    seconds: float
    stretches: int
    first: int
    last: int


def chances(samples: np.ndarray) -> np.ndarray:
    """Probability of a voice for each 32 ms chunk of 16 kHz samples, shape ``(n // 512,)``."""
    import numpy as np

    from sayit.hearing.endpoint import open_detector

    detector = open_detector()
    whole = len(samples) // CHUNK * CHUNK
    chunks = np.asarray(samples[:whole], dtype=np.float32).reshape(-1, CHUNK)
    return np.array([detector(chunk) for chunk in chunks], dtype=np.float32)


def voiced(samples: np.ndarray) -> Voiced:
    """Measure the voice in ``samples`` (float32, 16 kHz)."""
    found = chances(samples) > _VOICED
    stretches, quiet = 0, _GAP
    for is_voice in found:
        if is_voice:
            stretches += quiet >= _GAP
            quiet = 0
        else:
            quiet += 1
    if not stretches:
        return Voiced(0.0, 0, 0, 0)
    first, last = (int(at) for at in found.nonzero()[0][[0, -1]])
    return Voiced(float(found.sum()) * CHUNK / 16_000, int(stretches), first * CHUNK, (last + 1) * CHUNK)
