"""Measure how teens and tens are told apart: how long and how loud their last syllable is.

    python teen_ty.py british american System

The last syllable begins in the stop of its "t": the softest 10 ms between 0.4 and 0.85 of the word.  A teen has the longer
and the more stressed one (as in any dictionary; common practice of careful speech).
"""

from __future__ import annotations

import argparse

import numpy as np

from sayit.numbers import name
from sayit.speaking.recordings import Recordings
from sayit.speaking.utterance import number
from sayit.speaking.voice import SPOKEN_RATE, SpokenVoice, VoiceSettings, open_voice

HOP = SPOKEN_RATE // 200  # 5 ms
SOFTEST = 10 ** (-35 / 20)


def last_syllable(samples: np.ndarray) -> tuple[float, float]:
    """Its length in seconds, and its level above the rest of the word in dB."""
    power = (samples[: len(samples) // HOP * HOP].reshape(-1, HOP) ** 2).mean(1)
    power = np.convolve(power, [0.5, 0.5], "same")
    loud = np.flatnonzero(power > power.max() * SOFTEST**2)
    power = power[loud[0] : loud[-1] + 1]
    low, high = int(0.4 * len(power)), int(0.85 * len(power))
    at = low + int(np.argmin(power[low:high]))
    level = 10 * np.log10(power[at:].mean() / power[:at].mean())
    return (len(power) - at) * HOP / SPOKEN_RATE, float(level)


def told(voice: SpokenVoice) -> str:
    """A line a pair, then how many are told apart by length and by level."""
    lines, longer, louder = [], 0, 0
    for unit in range(3, 10):
        (teen, teen_level), (ten, ten_level) = (
            last_syllable(voice.render(number(name(value))).samples) for value in (10 + unit, 10 * unit)
        )
        longer, louder = longer + (teen > ten), louder + (teen_level > ten_level)
        lines.append(
            f"  {name(10 + unit)} {teen:.2f} s, {teen_level:+.1f} dB; {name(10 * unit)} {ten:.2f} s, {ten_level:+.1f} dB"
        )
    return "\n".join([*lines, f"  the teen's is longer in {longer} of 7, louder in {louder} of 7"])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("voices", nargs="+")
    none = Recordings("none", SPOKEN_RATE)
    for one in parser.parse_args().voices:
        voice = open_voice(VoiceSettings(voice=one), recordings=none, aloud=False)
        print(f"{voice.name}:\n{told(voice)}")


if __name__ == "__main__":
    main()
