"""Numbers with other speech beside them, made for measuring: invented wordings, and children's own speech.

The listener's graph was chosen with 36 other wordings in four espeak-ng voices and with the even speakers of
:func:`joined`; of what is here only ``WRAPPED`` was looked at before it was chosen.
"""

from __future__ import annotations

import random

import numpy as np

from tests import speech_data

WRAPPED = [
    "um, {}", "um, I think it's {}", "it is {}", "is it {}?", "okay, {}", "I know, {}", "that's {}", "well, it's {}",
    "{}, mummy", "{}, daddy", "mummy, {}", "{}, I think", "the answer is {}", "I think {}, mummy",
    "{other}, no, {}", "{other}, no, I mean {}", "{other}, wait, {}",
    "maybe {}", "{}, please", "I got {}", "look, {}", "hmm, it must be {}",
]  # fmt: skip
"""Invented; the last five were in no list of the listener's before it heard any other speech beside a number."""

UNLISTED = [
    "ah, {}", "oh, I've got it, {}", "probably {}", "this is {}", "we have {}", "can I say {}", "it says {}", "I guess {}",
    "um, um, {}", "they make {}", "{}, easy", "{}, that's it", "{}, am I right", "{}, teacher", "{}, can we play again",
    "mum, it's {}", "sorry, {}", "ooh, {}", "ready? {}", "how about {}", "it's got to be {}", "{} this time", "yes, {}",
    "{}, yes", "could it be {}", "the big one is {}", "I heard {}", "{}, is that good?", "see, {}", "must be {}",
    "{} I reckon", "{}, hooray", "{} cookies", "goodness, {}", "I want {}", "{} then",
]  # fmt: skip
"""Invented; about a third have words that are not among the listener's everyday ones either."""
REASONS = {
    "two numbers": ["forty-five or fifty-four", "thirteen or thirty", "three or four", "twenty or thirty",
                    "three hundred five or three hundred fifty"],
    "corrected": ["fifty-four, no, forty-five", "thirty, no, thirteen", "three, no, four", "four hundred, no, five hundred"],
    "no tens": ["four hundred, no tens, five", "two hundred, no tens, six", "three hundred, no tens, one"],
    "counted": ["five six seven eight", "one, two, three", "eight, nine, ten, eleven", "twenty-eight, twenty-nine, thirty",
                "ten, eleven, twelve, thirteen", "ten, twenty, thirty", "two, four, six, eight"],
    "sum": ["five and three", "five and two", "three, three: six", "five and three: eight"],
}  # fmt: skip
"""Answers that show how a child got there; invented."""
STEP = 50
"""Rows of the network's output a second."""


def joined(kept, odd=True, seed=5):
    """``(recording, log-probabilities)``: 0.5 to 1.2 s of a child's own other speech before or after its digits.

    ``kept`` holds what networks that never heard the child made of both; the speech is cut where the network is
    surest of a pause, often in the middle of a word.
    """
    chance = random.Random(seed)
    speakers = sorted({row.speaker for row in speech_data.recordings("numbers")})
    speech = {}
    for key in (k for k in kept.files if k.count("|") == 1):
        speaker, words = key.split("|")
        if not set(words.lower().split()) & speech_data.NUMBER_WORDS:
            speech.setdefault(speaker, []).append(key)
    for row in speech_data.recordings("numbers"):
        if speakers.index(row.speaker) % 2 != odd or row.speaker not in speech:
            continue
        number = kept[f"{row.speaker}|{row.words}"] / -8.0
        other = kept[chance.choice(speech[row.speaker])] / -8.0
        wanted, before = round(chance.uniform(0.5, 1.2) * STEP), chance.random() < 0.6
        quiet = other[:, 0] + np.roll(other[:, 0], 1) + np.roll(other[:, 0], -1)
        voiced, said = np.flatnonzero(other[:, 0] < -1), np.flatnonzero(number[:, 0] < -1)
        if before:
            first = max(0, voiced[0] - 3)
            near = np.arange(max(first + 15, first + wanted - 12), min(len(other), first + wanted + 12))
            yield row, np.concatenate([other[first : near[np.argmax(quiet[near])]], number[max(0, said[0] - 4) :]])
        else:
            last = min(len(other), voiced[-1] + 3)
            near = np.arange(max(1, last - wanted - 12), min(last - 10, last - wanted + 12))
            yield row, np.concatenate([number[: said[-1] + 4], other[near[np.argmax(quiet[near])] : last]])
