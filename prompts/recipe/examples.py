"""Four files to listen to: an everyday name, a tens name, a thousand with an inner zero, and a dialogue of a minute.

python examples.py FOLDER [--voice American]
"""

from __future__ import annotations

import argparse
import random
from pathlib import Path

import numpy as np

from sayit.numbers import name
from sayit.sound.audio import save
from sayit.speaking.phrases import open_bank
from sayit.speaking.utterance import number
from sayit.speaking.voice import SPOKEN_RATE, VoiceSettings, open_voice

ANSWERING = 3.0
"""Seconds left for the child's answer."""

DIALOGUE = [
    ("session.hello", {}, 0.5),
    *[
        (key, {"number": name(value, form)}, after)
        for value in (45, 430, 4030)
        for key, form, after in (
            ("ask.say-back", "explicit", ANSWERING),
            ("reply.yes", "explicit", 0.8),
            ("ask.other-way-plain", "explicit", ANSWERING),
            ("reply.model", "plain", 1.0),
        )
    ],
    ("session.goodbye", {}, 0.0),
]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--voice")
    args = parser.parse_args()
    voice = open_voice(VoiceSettings(voice=args.voice), aloud=False)
    args.folder.mkdir(parents=True, exist_ok=True)
    for file, value, form in (("plain", 45, "plain"), ("tens", 430, "explicit"), ("inner-zero", 8006, "explicit")):
        voice.save(number(name(value, form)), args.folder / f"{file}.wav")
    bank, rng, said = open_bank(), random.Random(4), []
    for key, numbers, after in DIALOGUE:
        silence = np.zeros(int(after * SPOKEN_RATE), dtype=np.float32)
        said += [voice.render(bank.choose(key, rng, **numbers)).samples, silence]
    save(np.concatenate(said), args.folder / "dialogue.wav", SPOKEN_RATE)


if __name__ == "__main__":
    main()
