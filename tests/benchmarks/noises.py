"""Noises to hear a number in, each of unit power."""

import random
from functools import cache

import numpy as np

from sayit.sound.audio import RATE, load
from tests import speech_data

TALKERS = 6
LOWEST = 50
"""Hz; the mains' hum is about the lowest that small microphones hear (from memory)."""


def white(length, chance):
    return chance.normal(size=length)


def pink(length, chance):
    """Power falls by 3 dB an octave from 50 Hz on.

    Rooms are near that: by Hoth (1941, JASA 12, 499-504; the room noise of ITU-T P.800) it falls by 5 dB an octave from 100 to
    3,150 Hz, 32.4 to 7.8 dB SPL/Hz. So pink noise of the same level is the harder one: more of it lies where speech does.
    """
    spectrum = np.fft.rfft(chance.normal(size=length))
    hertz = np.fft.rfftfreq(length, 1 / RATE)
    spectrum *= np.where(hertz < LOWEST, 0, 1 / np.sqrt(np.maximum(hertz, LOWEST)))
    return unit(np.fft.irfft(spectrum, length))


def babble(length, chance):
    """Six children of up to 9 years at once, each alike loud, one sentence after the other (speechocean762, CC BY 4.0)."""
    draw = random.Random(int(chance.integers(1 << 32)))
    whole = np.zeros(length)
    for speaker in draw.sample(sorted(sentences()), TALKERS):
        said = np.zeros(0)
        while len(said) < 2 * length:
            said = np.concatenate([said, unit(load(draw.choice(sentences()[speaker])))])
        begin = draw.randrange(length)
        whole += said[begin : begin + length]
    return unit(whole)


@cache
def sentences():
    """Paths by speaker."""
    found = {}
    for row in speech_data.recordings("read-speech"):
        if row.age <= 9:
            found.setdefault(row.speaker, []).append(row.path)
    return found


def unit(samples):
    return samples / np.sqrt(np.mean(samples**2))


def mixed(samples, kind, decibels, drawn):
    """With noise so many decibels below the voice, or as they are without a ``kind``."""
    if not kind:
        return samples
    power = np.mean(samples[np.abs(samples) > 0.01] ** 2) * 10 ** (-decibels / 10)
    return (samples + kind(len(samples), drawn) * np.sqrt(power)).astype(np.float32)
