"""Fill the model card's table: ``python evaluate.py MODEL --children SHARED/children [--folds folds.npz] [--set NAME ...]``

Run from the project's root with the project's own environment (NumPy, soundfile, soxr; flite for the voices).
Sets: ``folds`` (children's digit strings, each by a network that never heard the speaker), ``voices`` (flite awb and rms,
never trained on, raised to a child's pitch and vocal tract, clean and with noise at 10 dB), ``speech`` (sentences
without number words by speakers whose sentences are never learnt from).
"""

from __future__ import annotations

import argparse
import csv
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import soundfile
import soxr

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from sayit.numbers import name, read  # noqa: E402
from sayit.speech.number_listener import NumberListener  # noqa: E402

NUMBER_WORDS = set(
    "zero oh one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand".split()
)
PAIRS = [13, 30, 14, 40, 15, 50, 16, 60, 17, 70, 18, 80, 19, 90, 520, 5020]
CHILDLIKE = 1.25  # times pitch and formants of an adult man, about a child of seven (from memory)


def edits(a: list[str], b: list[str]) -> int:
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


def meaning(words: str):
    reading = read(words)
    return (reading.value, reading.form, reading.digits) if reading.value is not None else words


def digits(listener: NumberListener, items: list[tuple[str, np.ndarray]], title: str, verbose: bool) -> None:
    wrong = total = right = clear_wrong = unclear = 0
    for said, scores in items:
        found = listener.search(scores)
        best = max(found, key=found.get) if found else ""
        heard, reference = best.replace("oh", "zero").split(), said.split()
        errors = edits(heard, reference)
        wrong, total, right = wrong + errors, total + len(reference), right + (errors == 0)
        words, _, clear, _ = listener.decide(found)
        unclear += not clear or not words
        clear_wrong += clear and bool(words) and words.replace("oh", "zero") != said
        if errors and verbose:
            print("   ", said, "->", best or "(no number)")
    n = len(items)
    print(f"{title}: digits wrong {100 * wrong / total:.2f} % ({wrong}/{total}), strings right {100 * right / n:.1f} % "
          f"({right}/{n}); clear and wrong {100 * clear_wrong / n:.1f} %, asked again {100 * unclear / n:.1f} %")


def voices(listener: NumberListener, verbose: bool) -> None:
    rng, noise = random.Random(3), np.random.default_rng(3)
    values = PAIRS + [rng.randrange(1, 100) for _ in range(12)] + [rng.randrange(100, 1000) for _ in range(10)] + [
        rng.randrange(1000, 10_000) for _ in range(7)]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "voice.wav"
        for decibels in (None, 10):
            for form in ("plain", "explicit"):
                counts = {"right": 0, "clear and wrong": 0, "asked again": 0}
                for voice in ("awb", "rms"):
                    for value in values:
                        text = name(value, form)
                        subprocess.run(["flite", "-voice", voice, "-t", text.replace("-ten ", "-ten, ").replace("-", " "), "-o", path],
                                       check=True)
                        samples, rate = soundfile.read(path, dtype="float32")
                        # Slower speech first keeps the pace when the pitch is raised.
                        samples = soxr.resample(samples, rate * CHILDLIKE, 16_000).astype(np.float32)
                        samples = np.pad(0.3 * samples / np.abs(samples).max(), (4800, 4800))
                        if decibels is not None:
                            power = np.mean(samples[np.abs(samples) > 0.01] ** 2)
                            samples += (noise.normal(size=len(samples)) * np.sqrt(power) * 10 ** (-decibels / 20)).astype(np.float32)
                        heard = listener.hear(samples)
                        reading = read(heard.words)
                        good = reading.value == value and reading.form in (form, "both")
                        key = "asked again" if not heard.clear or not heard.words else "right" if good else "clear and wrong"
                        counts[key] += 1
                        if key != "right" and verbose:
                            print("   ", voice, form, decibels, text, "->", [(h.words, round(h.score, 2)) for h in heard.alternatives[:2]])
                n = sum(counts.values())
                print(f"voices {form} {'clean' if decibels is None else f'{decibels} dB'}: "
                      + ", ".join(f"{k} {100 * v / n:.1f} %" for k, v in counts.items()), f"({n})")


def speech(listener: NumberListener, children: Path, verbose: bool) -> None:
    rows = list(csv.DictReader(open(children / "index.csv")))
    number_speakers = {r["speaker"] for r in rows if r["file"].startswith("numbers/")}
    held = [r for r in rows if r["file"].startswith("read") and r["speaker"] in number_speakers
            and not set(r["words"].split()) & NUMBER_WORDS]
    taken = asked = 0
    seconds = work = 0.0
    for r in held:
        samples, _ = soundfile.read(children / r["file"], dtype="float32")
        heard = listener.hear(samples)
        seconds, work = seconds + heard.audio_seconds, work + heard.work_seconds
        taken += bool(heard.words) and heard.clear
        asked += not heard.clear
        if heard.words and verbose:
            print("   ", r["words"], "->", heard.words, round(heard.confidence, 2))
    print(f"other speech taken for a number: {100 * taken / len(held):.2f} % ({taken}/{len(held)}), asked again "
          f"{100 * asked / len(held):.1f} %; real-time factor {work / seconds:.3f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("model", type=Path)
    parser.add_argument("--children", type=Path, required=True)
    parser.add_argument("--folds", type=Path)
    parser.add_argument("--set", nargs="*", default=["folds", "voices", "speech"])
    parser.add_argument("--verbose", action="store_true")
    args = parser.parse_args()
    began = time.perf_counter()
    listener = NumberListener(args.model)
    print(f"load {time.perf_counter() - began:.3f} s, {sum(f.stat().st_size for f in args.model.iterdir()) / 1e6:.1f} MB")
    if "folds" in args.set and args.folds:
        digits(listener, [(k.split("|")[1], v) for k, v in np.load(args.folds).items()], "children, out of fold", args.verbose)
    if "voices" in args.set:
        voices(listener, args.verbose)
    if "speech" in args.set:
        speech(listener, args.children, args.verbose)
    print(f"memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
