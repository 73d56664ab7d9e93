"""How well and how fast the listeners hear, side by side.

    python -m tests.benchmarks.listening                       all sets, all listeners there are
    python -m tests.benchmarks.listening --set children        real children's digit strings
    python -m tests.benchmarks.listening --set voices          200 numbers in both forms, four synthetic voices
    python -m tests.benchmarks.listening --set voices --childlike --noise 10
    python -m tests.benchmarks.listening --set speech          200 sentences without number words

``numbers-en`` learnt from the children's digit strings in its last stage: its row "children"
is no measure of it.  What counts is the figure by networks that never heard the speaker:
``models/recipe/evaluate.py --folds``; see the model card.

Sources: speechocean762 (CC BY 4.0) for children and speech; flite and espeak-ng for
the voices.  ``pocketsphinx`` (its own model, number-word grammar) is a peer where
it is installed.
"""

import argparse
import random
import resource
import tempfile
import time
from pathlib import Path

import numpy as np

from sayit.numbers import name, read
from sayit.speech import load
from sayit.speech.listener import DEFAULT, Heard, listeners, open_listener
from tests import speech_data

DIGITS = "zero one two three four five six seven eight nine".split()


class PocketSphinx:
    """The peer: PocketSphinx with its own model and a grammar of number words."""

    name = "pocketsphinx"

    def __init__(self):
        from pocketsphinx import Decoder

        words = sorted(speech_data.NUMBER_WORDS - {"to", "too", "for", "ate", "won"})
        grammar = f"#JSGF V1.0; grammar n; public <n> = ({' | '.join(words)})+;"
        self._decoder = Decoder(samprate=16000, loglevel="FATAL")
        self._decoder.add_jsgf_string("n", grammar)
        self._decoder.activate_search("n")

    def hear(self, samples):
        began = time.perf_counter()
        self._decoder.start_utt()
        self._decoder.process_raw((samples * 32767).astype("<i2").tobytes(), full_utt=True)
        self._decoder.end_utt()
        found = self._decoder.hyp()
        words = found.hypstr if found else ""
        return Heard(words, 1.0, True, (), self.name, len(samples) / 16000, time.perf_counter() - began)


def opened(wanted):
    names = wanted or [*listeners(), "pocketsphinx"]
    for one in names:
        if one != "pocketsphinx":
            yield open_listener(one)
            continue
        try:
            yield PocketSphinx()
        except ImportError:
            print("pocketsphinx: not installed (pip install pocketsphinx)")


def edits(a, b):
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


def heard_digits(words: str) -> str:
    reading = read(words)
    return reading.digits or (str(reading.value) if reading.value is not None else "")


def children(listener, every, show):
    rows = speech_data.recordings("numbers")[::every]
    wrong = digits = right = unclear = mistaken = 0
    work = []
    for row in rows:
        truth = "".join(str(DIGITS.index(word)) for word in row.words.split())
        heard = listener.hear(load(row.path))
        got = heard_digits(heard.words)
        wrong += edits(truth, got)
        digits += len(truth)
        right += got == truth
        judged = heard.clear and heard.words
        unclear += not judged
        mistaken += bool(judged) and got != truth
        work.append(heard.work_seconds)
        if show and got != truth:
            print(f"    {row.path.name}: {row.words!r} heard {heard.words!r} ({heard.confidence:.2f})")
    return (
        f"{len(rows)} strings, {len({r.speaker for r in rows})} speakers: digits wrong {wrong / digits:.1%}, "
        f"strings right {right / len(rows):.1%}, asked again {unclear / len(rows):.1%}, "
        f"judged wrong though right {mistaken / len(rows):.1%}, {np.mean(work):.3f} s an answer (p95 {np.quantile(work, 0.95):.3f})"
    )


def numbers() -> list[int]:
    """200 numbers: the teen and ty pairs, lost-zero pairs, then spread over the ranges."""
    pairs = [n for unit in range(3, 10) for n in (10 + unit, 10 * unit)]
    pairs += [520, 5020, 705, 7005, 340, 3040, 100, 1000, 110, 1010]
    chance = random.Random(20)
    rest = [n for n in range(1, 13) if n != 10] + [
        n for low, high in ((20, 100), (100, 1000), (1000, 10000)) for n in chance.sample(range(low, high), 70)
    ]
    return list(dict.fromkeys(pairs + rest))[:200]


def voices(listener, every, show, childlike, noise):
    total = right = unclear = mistaken = 0
    work, by_voice = [], {}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "answer.wav"
        for voice in speech_data.VOICES:
            good = count = 0
            for number in numbers()[::every]:
                for form in ("plain", "explicit"):
                    text = name(number, form)
                    # The joint after "ten" is said with a short break, as the tool itself says it.
                    speech_data.speak(voice, text.replace("-ten ", "-ten, ").replace("-", " "), path)
                    samples = load(path)
                    if childlike:
                        samples = speech_data.childlike(samples)
                    samples = np.pad(samples, 4_000)
                    if noise is not None:
                        samples = speech_data.noisy(samples, noise, number)
                    heard = listener.hear(samples)
                    reading = read(heard.words)
                    fits = reading.value == number and reading.form in (form, "both")
                    judged = heard.clear and heard.words
                    good += fits
                    unclear += not judged
                    mistaken += bool(judged) and not fits
                    count += 1
                    work.append(heard.work_seconds)
                    if show and not fits:
                        print(f"    {voice}: {text!r} heard {heard.words!r} ({heard.confidence:.2f})")
            by_voice[voice] = good / count
            right, total = right + good, total + count
    each = ", ".join(f"{voice} {share:.1%}" for voice, share in by_voice.items())
    return (
        f"{total} answers: value and form right {right / total:.1%} ({each}), asked again {unclear / total:.1%}, "
        f"judged wrong though right {mistaken / total:.1%}, {np.mean(work):.3f} s an answer"
    )


def speech(listener, every, show):
    # Only the speakers whose sentences our own listener never learnt from.
    unheard = {row.speaker for row in speech_data.recordings("numbers")}
    rows = [
        row
        for row in speech_data.recordings("read-speech")
        if row.speaker in unheard and not speech_data.NUMBER_WORDS & set(row.words.lower().split())
    ]
    random.Random(762).shuffle(rows)
    rows = rows[:200:every]
    taken = proposed = 0
    for row in rows:
        heard = listener.hear(load(row.path))
        taken += bool(heard.words) and heard.clear
        proposed += bool(heard.words)
        if show and heard.words:
            print(f"    {row.words!r} heard {heard.words!r} ({heard.confidence:.2f}, {'clear' if heard.clear else 'unclear'})")
    return f"{len(rows)} sentences: taken for a number {taken / len(rows):.1%} ({proposed / len(rows):.1%} with the unclear ones)"


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--listener", action="append")
    parser.add_argument("--set", choices=["children", "voices", "speech"], action="append")
    parser.add_argument("--every", type=int, default=1, help="take every nth item")
    parser.add_argument("--childlike", action="store_true", help="raise pitch and formants of the voices by a quarter")
    parser.add_argument("--noise", type=float, help="signal-to-noise ratio in dB for the voices")
    parser.add_argument("--show", action="store_true", help="print every mistake")
    args = parser.parse_args()
    if not speech_data.present():
        raise SystemExit(speech_data.MISSING)
    for listener in opened(args.listener):
        for one in args.set or ["children", "voices", "speech"]:
            run = {
                "children": lambda: children(listener, args.every, args.show),
                "voices": lambda: voices(listener, args.every, args.show, args.childlike, args.noise),
                "speech": lambda: speech(listener, args.every, args.show),
            }[one]
            print(f"{listener.name:14} {one:9} {run()}", flush=True)
            if one == "children" and listener.name == DEFAULT:
                print(f"{'':24} (it learnt from these strings: see the model card for the figure that counts)")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory of this run: {peak:.0f} MB")


if __name__ == "__main__":
    main()
