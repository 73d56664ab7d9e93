"""Let recognisers that did not make a voice hear it, and tell how many numbers they hear right.

    python verify.py british american System --count 200 [--seed 5] [--whisper FOLDER] [--phrases FOLDER]

Our own listener, and Whisper held to number names where FOLDER has a model of it (CTranslate2), hear the same numbers in
both forms.  Among them are 13/30 to 19/90, 430/4,030 and numbers of each length.  Then Whisper in the ``--phrases`` FOLDER
writes down each phrase of the bank, and words that it has otherwise are counted (homophones of numbers taken as they are).
"""

from __future__ import annotations

import argparse
import random
import re
from pathlib import Path

import numpy as np

from sayit.hearing.listener import open_listener
from sayit.numbers import name, read
from sayit.sound.audio import RATE, resample
from sayit.speaking.phrases import open_bank
from sayit.speaking.recordings import Recordings
from sayit.speaking.utterance import number, text
from sayit.speaking.voice import SPOKEN_RATE, SpokenVoice, VoiceSettings, open_voice

PAIRS = [*range(13, 20), *range(30, 100, 10), 430, 4030]


def drawn(count: int, seed: int) -> list[int]:
    """Numbers to hear: the pairs that are mixed up, 0 to 99, then some of every length."""
    rng = random.Random(seed)
    small = rng.sample(range(100), 100)
    found = list(dict.fromkeys([*PAIRS, *small]))
    while len(found) < count:
        low = rng.choice([100, 1_000, 10_000, 100_000])
        found.append(rng.randrange(low, low * 10))
    return found[:count]


def heard_right(voice: SpokenVoice, listener, values: list[int]) -> list[str]:
    """What was heard otherwise than it was said, by value or form."""
    wrong = []
    for value in values:
        for form in ("plain", "explicit"):
            words = name(value, form)
            sound = np.pad(resample(voice.render(number(words)).samples, SPOKEN_RATE), RATE // 2)
            reading = read(listener.hear(sound).words)
            if reading.value != value or (value > 9 and reading.form not in (form, None, "both")):
                wrong.append(f"{words} -> {reading.value}")
    return wrong


def words_of(written: str) -> list[str]:
    """Bare words, so that punctuation and capitals count for nothing."""
    return re.findall(r"[a-z']+", written.lower().replace("-", " "))


def astray(said: list[str], written: list[str]) -> int:
    """Words put in, left out or changed (edit distance)."""
    row = list(range(len(written) + 1))
    for at, word in enumerate(said, 1):
        before, row[0] = row[0], at
        for to, other in enumerate(written, 1):
            before, row[to] = row[to], min(row[to] + 1, row[to - 1] + 1, before + (word != other))
    return row[-1]


def phrases_right(voice: SpokenVoice, folder: Path) -> str:
    """The share of words that Whisper writes down otherwise."""
    from faster_whisper import WhisperModel

    model = WhisperModel(str(folder), device="cpu", compute_type="int8", cpu_threads=1)
    total, missed, odd = 0, 0, []
    for phrase in sorted(set(open_bank().slots().values())):
        sound = np.pad(resample(voice.render(text(phrase)).samples, SPOKEN_RATE), RATE // 2)
        found, _ = model.transcribe(sound, language="en", beam_size=5, condition_on_previous_text=False)
        written = " ".join(segment.text for segment in found)
        off = astray(words_of(phrase), words_of(written))
        total, missed = total + len(words_of(phrase)), missed + off
        if off:
            odd.append(f"{phrase!r} -> {written.strip()!r}")
    return f"{missed} of {total} words otherwise ({missed / total:.1%}): {'; '.join(odd)}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("voices", nargs="+")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--listeners", default="numbers-en,whisper")
    parser.add_argument("--phrases", type=Path, help="a folder with Whisper base (CTranslate2)")
    args = parser.parse_args()
    values = drawn(args.count, args.seed)
    none = Recordings("none", SPOKEN_RATE)
    voices = [open_voice(VoiceSettings(voice=one), recordings=none, aloud=False) for one in args.voices]
    for which in filter(None, args.listeners.split(",")):
        listener = open_listener(which)
        for voice in voices:
            wrong = heard_right(voice, listener, values)
            total = 2 * len(values)
            right = f"{total - len(wrong)} of {total} ({1 - len(wrong) / total:.1%})"
            print(f"{listener.name} hears {voice.name}: {right}; {'; '.join(wrong)}", flush=True)
    for voice in voices if args.phrases else ():
        print(f"{args.phrases.name} writes {voice.name}: {phrases_right(voice, args.phrases)}", flush=True)


if __name__ == "__main__":
    main()
