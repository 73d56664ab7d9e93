"""Number names put together from the words that one woman recorded for telephone systems.

Debian's package ``asterisk-core-sounds-en-g722`` (16 kHz), recorded by Allison Smith, CC BY-SA 3.0: the only number words by a human voice,
teens, tens, hundreds and thousands among them, that are at hand.  Each word was spoken by itself, so that "forty" is long in the
middle of a name as well; a child who says one word after the other does so.
"""

from functools import cache
from pathlib import Path

import numpy as np
import soxr

from sayit.numbers import name
from sayit.sound.audio import RATE

FOLDER = Path("/usr/share/asterisk/sounds/en_US_f_Allison/digits")
MISSING = "no recorded words here: apt-get install asterisk-core-sounds-en-g722"
FILES = {name(value): str(value) for value in [*range(20), *range(20, 100, 10)]} | {
    word: word for word in ("hundred", "thousand")
}
EDGE, PAUSE = 0.05, 0.06
"""Seconds kept around a word, and between words."""


def present() -> bool:
    return FOLDER.is_dir()


@cache
def word(which: str) -> np.ndarray:
    samples = decoded(FOLDER / f"{FILES[which]}.g722")
    loud = np.flatnonzero(np.abs(samples) > 0.02 * np.abs(samples).max())
    edge = int(EDGE * RATE)
    return samples[max(0, loud[0] - edge) : loud[-1] + edge]


def decoded(path: Path) -> np.ndarray:
    """ITU-T G.722 as mono float samples at 16 kHz."""
    import av

    into = av.AudioResampler("flt", "mono", RATE)
    with av.open(str(path), format="g722") as file:
        frames = [one for frame in [*file.decode(audio=0), None] for one in into.resample(frame)]
    return np.concatenate([frame.to_ndarray()[0] for frame in frames])


def said(number: int, form: str) -> np.ndarray:
    """A number's name, without "and", at 16 kHz."""
    pause = np.zeros(int(PAUSE * RATE), np.float32)
    return np.concatenate([part for one in name(number, form).replace("-", " ").split() for part in (word(one), pause)])


def through_a_telephone(samples: np.ndarray) -> np.ndarray:
    """The same with nothing over 4 kHz."""
    return soxr.resample(soxr.resample(samples, RATE, 8_000), 8_000, RATE)
