"""How many claps are counted right, and what else is taken for claps.

    python -m tests.benchmarks.claps [--seeds 400] [--tune]

Claps are synthetic: noise through two resonances (0.6 to 2.6 kHz) with an attack of 1 ms and a decay of 6 to 18 ms, after
Repp 1987 and Peltola, Erkut, Cook and Valimaki 2007, "Synthesis of hand clapping sounds", IEEE Transactions on Audio,
Speech and Language Processing 15 (the model's shape; figures from memory). Rooms are direct sound, early reflections and an
exponential tail of 0.2 to 0.6 s. Thresholds were chosen on even seeds (``--tune``); what is printed otherwise is of the odd
ones. Speech is that of speechocean762 (Zhang et al. 2021, OpenSLR 101, CC BY 4.0), children of at most 10.
"""

import argparse
import csv

import numpy as np

from sayit.hearing.claps import Claps
from sayit.hearing.endpoint import open_detector
from sayit.sound.audio import RATE, load
from tests.speech_data import FOLDER

BLOCK = 512


def clap(random: np.random.Generator) -> np.ndarray:
    """One clap, peak 1, 80 ms."""
    length = int(0.08 * RATE)
    times = np.arange(length) / RATE
    noise = random.normal(size=length)
    spectrum = np.fft.rfft(noise)
    frequencies = np.fft.rfftfreq(length, 1 / RATE)
    shape = 0.08 + sum(
        random.uniform(0.4, 1.0) / (1 + ((frequencies - centre) / random.uniform(250, 900)) ** 2)
        for centre in random.uniform(600, 2_600, size=2)
    )
    made = np.fft.irfft(spectrum * shape, length)
    envelope = np.minimum(times / 0.001, 1) * np.exp(-np.maximum(times - 0.001, 0) / random.uniform(0.006, 0.018))
    made *= envelope
    return made / np.abs(made).max()


def knock(random: np.random.Generator) -> np.ndarray:
    """A knuckle on a table: a few low modes that ring for some 50 ms, and a faint click (common practice, no source)."""
    times = np.arange(int(0.2 * RATE)) / RATE
    made = sum(
        random.uniform(0.3, 1) * np.sin(2 * np.pi * mode * times) * np.exp(-times / random.uniform(0.015, 0.05))
        for mode in random.uniform(90, 450, size=4)
    )
    made[: RATE // 500] += random.normal(scale=0.15, size=RATE // 500)
    return made / np.abs(made).max()


def room(sound: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """The sound at a microphone across the table."""
    reverberation = random.uniform(0.2, 0.6)
    times = np.arange(int(reverberation * RATE)) / RATE
    answer = random.normal(size=len(times)) * 10 ** (-3 * times / reverberation) * random.uniform(0.01, 0.05)
    answer[0] = 1
    for reflection in random.integers(40, 600, size=6):
        answer[reflection] += random.uniform(-0.4, 0.4)
    size = 1 << (len(sound) + len(answer)).bit_length()
    return np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(answer, size), size)[: len(sound)]


def noise(length: int, level: float, random: np.random.Generator) -> np.ndarray:
    """Pink noise of a level in dBFS."""
    spectrum = np.fft.rfft(random.normal(size=length))
    spectrum[1:] /= np.sqrt(np.arange(1, len(spectrum)))
    made = np.fft.irfft(spectrum, length)
    return made / made.std() * 10 ** (level / 20)


def take(count: int, seed: int, *, hum: float, make=clap) -> np.ndarray:
    """``count`` claps in a room with pink noise of ``hum`` dBFS; peaks at -24 to -4 dBFS, 250 to 800 ms apart."""
    random = np.random.default_rng(seed)
    pace = random.uniform(0.25, 0.8)
    whole = np.zeros(int((1.0 + count * pace * 1.2 + 1.5) * RATE))
    at = random.uniform(0.4, 0.9)
    for _ in range(count):
        one = make(random) * random.uniform(0.5, 1)
        start = int(at * RATE)
        whole[start : start + len(one)] += one
        at += max(0.25, pace * random.uniform(0.85, 1.15))
    heard = room(whole, random)
    heard *= 10 ** (random.uniform(-24, -4) / 20) / np.abs(heard).max()
    return (heard + noise(len(heard), hum, random)).astype(np.float32)


def counted(samples: np.ndarray) -> Claps:
    """What the counter makes of samples."""
    claps, detector = Claps(), open_detector()
    for start in range(0, len(samples) - BLOCK + 1, BLOCK):
        block = samples[start : start + BLOCK]
        claps.hear(block, detector(block))
    return claps


def children(odd: int) -> list[np.ndarray]:
    """Every second sentence read by a child of at most 10."""
    with (FOLDER / "children" / "index.csv").open(encoding="utf-8") as file:
        files = [
            row["file"] for row in csv.DictReader(file) if row["file"].startswith("read") and int(row["age"]) <= 10
        ]
    return [load(FOLDER / "children" / file) for file in sorted(files)[odd::2][:400]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeds", type=int, default=400)
    parser.add_argument("--tune", action="store_true", help="the even seeds, on which thresholds were chosen")
    args = parser.parse_args()
    odd = 0 if args.tune else 1
    seeds = range(odd, 2 * args.seeds, 2)
    for where, hum in (("quiet room, -65 dBFS", -65), ("a fan, -55 dBFS", -55), ("a kitchen, -45 dBFS", -45)):
        found = [(1 + seed // 2 % 8, counted(take(1 + seed // 2 % 8, seed, hum=hum))) for seed in seeds]
        right = sum(claps.count == count for count, claps in found)
        wrong = sum(claps.count != count and claps.sure for count, claps in found)
        asked = sum(not claps.sure for _, claps in found)
        print(
            f"claps 1 to 8, {where}: {right / len(found):.1%} counted right, {wrong / len(found):.1%} wrong and sure, {asked / len(found):.1%} asked again"
        )
    for where, make in (("knocks on a table", knock),):
        found = [counted(take(1 + seed // 2 % 8, seed, hum=-65, make=make)) for seed in seeds]
        print(f"{where}: {sum(claps.count > 0 for claps in found) / len(found):.1%} of takes with a clap counted")
    if FOLDER.is_dir():
        found = [counted(one) for one in children(odd)]
        print(
            f"children's sentences ({len(found)}): {sum(one.count > 0 for one in found) / len(found):.1%} with a clap counted, {sum(one.count > 0 and one.sure for one in found) / len(found):.1%} sure"
        )


if __name__ == "__main__":
    main()
