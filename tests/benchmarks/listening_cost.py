"""What one listener costs: time to load, memory, and its work alone and beside programs that keep all cores busy.

    python -m tests.benchmarks.listening_cost NAME SPEECH.npy        2.5 s of speech at 16 kHz; ``listening --set cost`` calls it

The peer, measured in the same turns, is the bare matrix products of an encoder of Whisper base's size on random input by
NumPy: what the network costs at least. Alone and beside take turns, so that what else the machine does weighs on both.
"""

import os
import subprocess
import sys
import time
from collections import defaultdict
from pathlib import Path

import numpy as np

from sayit.hearing.listener import open_listener

ROUNDS, EACH = 4, 5
PHRASES = ["four thousand three hundred five", "four thousand three hundred fifty"]
SHAPES = [(250, 240, 512), (125, 1536, 512), *[(125, 512, n) for n in (1536, 512, 2048)] * 6, *[(125, 2048, 512)] * 6]
"""Rows, inputs and outputs of the products for 2.5 s: two convolutions; attention and feed-forward of six layers."""
BUSY = """
import random
many = [random.random() for _ in range(300_000)]
print(flush=True)
while True:
    sorted(many)
"""
"""Another program: it moves memory about, as most do."""


def memory():
    """Megabytes that the process held at most."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return int(next(line.split()[1] for line in lines if line.startswith("VmHWM"))) / 1024


def main():
    name, path = sys.argv[1:]
    began = time.perf_counter()
    listener = open_listener(name)
    loaded = time.perf_counter() - began
    chance = np.random.default_rng(0)
    speech, noise = np.load(path), chance.normal(size=40_000).astype(np.float32) * 0.1
    listener.hear(speech), listener.hear(noise)
    held = [memory()]
    work = {"speech": lambda: listener.hear(speech), "noise": lambda: listener.hear(noise)}
    if listener.weigh(speech, PHRASES):
        work["second opinion"] = lambda: listener.weigh(speech, PHRASES)
        held.append(memory())
    left, right = (
        [chance.normal(size=shape[i : i + 2]).astype(np.float32) for shape in SHAPES] for i in (0, 1)
    )  # after memory was read
    work["NumPy's products"] = lambda: [a @ b for a, b in zip(left, right, strict=True)]
    before = os.getloadavg()[0]
    process, clock = defaultdict(list), defaultdict(list)
    for turn in range(2 * ROUNDS):
        beside = bool(turn % 2)
        others = [
            subprocess.Popen([sys.executable, "-c", BUSY], stdout=subprocess.PIPE)
            for _ in range(beside * os.cpu_count())
        ]
        try:
            for other in others:
                other.stdout.readline()
            for _ in range(EACH):
                for what, do in work.items():
                    began = time.process_time(), time.perf_counter()
                    do()
                    process[what, beside].append(time.process_time() - began[0])
                    clock[what, beside].append(time.perf_counter() - began[1])
        finally:
            for other in others:
                other.kill()
                other.wait()
                other.stdout.close()
    print(
        f"loaded in {loaded:.2f} s; memory {held[0]:.0f} MB"
        + f", with a second opinion {held[1]:.0f} MB" * (len(held) > 1)
        + f"; load of the machine before {before:.1f}. Seconds of the process and by the clock (longest of {ROUNDS * EACH}),"
        f" alone -> beside {os.cpu_count()} busy programs:"
    )
    for what in work:
        each = [
            f"{np.median(process[what, beside]):.3f}, {np.median(clock[what, beside]):.3f} ({max(clock[what, beside]):.3f})"
            for beside in (False, True)
        ]
        times = np.median(clock[what, True]) / np.median(clock[what, False])
        print(f"               {what}: {each[0]} -> {each[1]}, {times:.1f} times by the clock")


if __name__ == "__main__":
    main()
