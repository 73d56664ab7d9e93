"""Let recognisers that did not make a voice hear it, and tell how many numbers they hear right.

    python verify.py british american System --count 1000 --seed 9 --log heard.jsonl [--listeners ...] [--phrases FOLDER]

Listeners are those of sayit ("numbers-en" is our own, "whisper" is tiny.en) and folders with a Whisper of many languages
(``whisper_base.py``); both Whispers are held to number names.  All hear the same numbers in both forms, among them 13/30 to
19/90, 430/4,030 and numbers of each length.  What was heard is kept in the ``--log`` and not heard again.  After each count
stand the clips that the wrong numbers are put together from.  Then Whisper in the ``--phrases`` FOLDER writes down each
phrase of the bank, with numbers in its blanks, then each of their recorded pieces, and words that it has otherwise are counted.
"""

from __future__ import annotations

import argparse
import collections
import json
import random
import re
import string
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from whisper_base import HeldWhisper

from sayit.hearing.heard import Listener
from sayit.hearing.listener import open_listener
from sayit.numbers import name, read
from sayit.sound.audio import RATE, resample
from sayit.speaking.pack import clips_of
from sayit.speaking.phrases import Bank, open_bank
from sayit.speaking.recordings import Recordings
from sayit.speaking.utterance import Utterance, number, text
from sayit.speaking.voice import SPOKEN_RATE, SpokenVoice, VoiceSettings, open_voice

if TYPE_CHECKING:
    from faster_whisper import WhisperModel

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


def right(words: str, form: str, heard: str) -> bool:
    """Whether value and form were heard."""
    said, reading = read(words), read(heard)
    return reading.value == said.value and (said.value <= 9 or reading.form in (form, None, "both"))


def hear_numbers(voice: SpokenVoice, listener, values: list[int], form: str, log: Path | None) -> dict[str, str]:
    """What was heard of each name."""
    key = [voice.name, listener.name]
    rows = [json.loads(line) for line in log.read_text().splitlines()] if log and log.exists() else []
    found = {words: heard for *whose, words, heard in rows if whose == key}
    for words in dict.fromkeys(name(value, form) for value in values):
        if words in found:
            continue
        sound = np.pad(resample(voice.render(number(words)).samples, SPOKEN_RATE), RATE // 2)
        found[words] = listener.hear(sound).words
        if log:
            with log.open("a") as out:
                out.write(json.dumps([*key, words, found[words]]) + "\n")
    return {name(value, form): found[name(value, form)] for value in values}


def table(heard: dict[str, str], form: str) -> str:
    """How many were heard right, which were not, and the clips that these hold more often than others do."""
    wrong = [words for words in heard if not right(words, form, heard[words])]
    said, amiss = (
        collections.Counter(clip for words in which for clip, _ in clips_of(words, falls=True) or ())
        for which in (heard, wrong)
    )
    clips = sorted((clip for clip in amiss if amiss[clip] > 1), key=lambda clip: amiss[clip] / said[clip], reverse=True)
    return "\n".join(
        [
            f"{len(heard) - len(wrong)} of {len(heard)} ({1 - len(wrong) / len(heard):.1%})",
            "  " + "; ".join(f"{words} -> {heard[words]}" for words in wrong),
            "  clips: " + "; ".join(f"{clip!r} {amiss[clip]} of {said[clip]}" for clip in clips[:12]),
        ]
    )


def open_any(which: str) -> Listener:
    """One of sayit's listeners, or a Whisper in a folder."""
    return HeldWhisper(Path(which)) if Path(which).is_dir() else open_listener(which)


def words_of(written: str) -> list[str]:
    """Bare words: punctuation, capitals, figures and the apostrophe of "it's" count for nothing, for they sound alike.

    Ten tens may be written "1010s", and "1000" is a thousand as well as one thousand."""
    bare = written.lower().replace("'", "").replace("10s", " tens ").replace("all right", "alright")
    spelled = re.sub(r"\d[\d,]*", lambda figures: name(int(figures[0].replace(",", ""))), bare).replace("-", " ")
    return re.findall(r"[a-z]+", re.sub(r"\bone (hundred|thousand)\b", r"\1", spelled))


def astray(said: list[str], written: list[str]) -> int:
    """Words put in, left out or changed (edit distance)."""
    row = list(range(len(written) + 1))
    for at, word in enumerate(said, 1):
        before, row[0] = row[0], at
        for to, other in enumerate(written, 1):
            before, row[to] = row[to], min(row[to] + 1, row[to - 1] + 1, before + (word != other))
    return row[-1]


def sayings() -> dict[str, tuple[Utterance, int]]:
    """All phrases of the bank as a child hears them, with everyday names in their blanks and how many words are their own.

    Those with a child's name are left out: no pack has it.
    """
    found, rng = {}, random.Random(5)
    bank = open_bank()
    for key, wordings in bank.wordings.items():
        for wording in wordings:
            blanks = [blank for _, blank, _, _ in string.Formatter().parse(wording) if blank]
            if "child" not in blanks:
                numbers = {blank: name(rng.randrange(21, 100), "plain") for blank in blanks}
                said = Bank({key: (wording,)}).choose(key, rng, **numbers)
                own = [word for piece in said.pieces if piece.kind == "text" for word in words_of(piece.words)]
                found[said.text] = said, len(own)
    return found


def pieces() -> dict[str, tuple[Utterance, int]]:
    """What is recorded for the bank, each by itself: a phrase, or what stands before or after a number."""
    return {piece: (text(piece), len(words_of(piece))) for piece in sorted(set(open_bank().slots().values()))}


def phrases_right(voice: SpokenVoice, model: WhisperModel, phrases: dict[str, tuple[Utterance, int]]) -> str:
    """The share of the phrases' own words that Whisper writes down otherwise; slips in a number count, its words do not."""
    total, missed, odd = 0, 0, []
    for phrase, (said, own) in phrases.items():
        sound = np.pad(resample(voice.render(said).samples, SPOKEN_RATE), RATE // 2)
        found, _ = model.transcribe(sound, language="en", beam_size=5, temperature=0)
        written = " ".join(segment.text for segment in found)
        off = astray(words_of(phrase), words_of(written))
        total, missed = total + own, missed + off
        if off:
            odd.append(f"{phrase!r} -> {written.strip()!r}")
    return f"{missed} of {total} words otherwise ({missed / total:.1%}): {'; '.join(odd)}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("voices", nargs="+")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--sample", type=int, help="hear only so many of them, drawn at random")
    parser.add_argument("--listeners", default="numbers-en,whisper")
    parser.add_argument("--log", type=Path, help="where to keep what was heard")
    parser.add_argument("--phrases", type=Path, help="a folder with Whisper base (CTranslate2)")
    args = parser.parse_args()
    values = drawn(args.count, args.seed)
    if args.sample:
        values = random.Random(1).sample(values, args.sample)
    none = Recordings("none", SPOKEN_RATE)
    voices = [open_voice(VoiceSettings(voice=one), recordings=none, aloud=False) for one in args.voices]
    for which in filter(None, args.listeners.split(",")):
        listener = open_any(which)
        for voice in voices:
            for form in ("plain", "explicit"):
                heard = hear_numbers(voice, listener, values, form, args.log)
                print(f"{listener.name} hears {voice.name} {form}: {table(heard, form)}", flush=True)
    if args.phrases:
        from faster_whisper import WhisperModel

        model = WhisperModel(str(args.phrases), device="cpu", compute_type="int8", cpu_threads=1)
        for voice in voices:
            for kind in (sayings, pieces):
                wrong = phrases_right(voice, model, kind())
                print(f"{args.phrases.name} writes {voice.name}, {kind.__name__}: {wrong}", flush=True)


if __name__ == "__main__":
    main()
