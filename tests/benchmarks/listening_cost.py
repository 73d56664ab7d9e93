"""What one listener costs: time to load, memory, and its work alone, beside another program and beside one for each core.

    python -m tests.benchmarks.listening_cost NAME SPEECH.npy 45.npy 400305.npy        ``listening --set cost`` calls it

SPEECH is 2.5 s at 16 kHz.  The others are numbers that come at the pace at which they are said, with quiet after them: how
long after the quiet that ends an answer it is known.  It is heard before that quiet is over, so most of the work is done then.

The peer, measured in the same turns, is the bare matrix products of an encoder of Whisper base's size on random input by
NumPy: what the network costs at least. Alone and beside others take turns, so that what else the machine does weighs on both.
"""

import os
import subprocess
import sys
import time
from collections import defaultdict
from pathlib import Path

import numpy as np

from sayit.hearing.capture import BLOCK
from sayit.hearing.endpoint import listen, open_detector
from sayit.hearing.listener import open_listener
from sayit.sitting.ears import nothing_follows
from sayit.sound.audio import RATE

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


def awaited(listener, samples, value):
    """Seconds from the end of the quiet that ends an answer until it is known; ``samples`` come as a microphone gives them."""
    began = time.perf_counter()

    def blocks():
        for end in range(BLOCK, len(samples), BLOCK):
            time.sleep(max(0.0, began + end / RATE - time.perf_counter()))
            yield samples[end - BLOCK : end]

    take = listen(
        blocks(),
        open_detector(),
        hear=listener.hear,
        complete=lambda heard: nothing_follows(heard, value),
    )
    assert take.why == "quiet", take.why
    if take.heard is None:
        listener.hear(take.samples)
    return time.perf_counter() - began - len(take.captured) / RATE


def main():
    name, path, *answers = sys.argv[1:]
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
    answers = {int(Path(one).stem): np.load(one) for one in answers}
    before = os.getloadavg()[0]
    process, clock, waits = defaultdict(list), defaultdict(list), defaultdict(list)
    besides = (0, 1, os.cpu_count())
    for beside in besides * ROUNDS:
        others = [subprocess.Popen([sys.executable, "-c", BUSY], stdout=subprocess.PIPE) for _ in range(beside)]
        try:
            for other in others:
                other.stdout.readline()
            for _ in range(EACH):
                for what, do in work.items():
                    began = time.process_time(), time.perf_counter()
                    do()
                    process[what, beside].append(time.process_time() - began[0])
                    clock[what, beside].append(time.perf_counter() - began[1])
                for value, samples in answers.items():
                    waits[value, beside].append(awaited(listener, samples, value))
        finally:
            for other in others:
                other.kill()
                other.wait()
                other.stdout.close()
    print(
        f"loaded in {loaded:.2f} s; memory {held[0]:.0f} MB"
        + f", with a second opinion {held[1]:.0f} MB" * (len(held) > 1)
        + f"; load of the machine before {before:.1f}. Seconds of the process and by the clock (longest of {ROUNDS * EACH}),"
        f" alone -> beside {' -> '.join(map(str, besides[1:]))} busy programs:"
    )
    for what in work:
        each = [
            f"{np.median(process[what, beside]):.3f}, {np.median(clock[what, beside]):.3f} ({max(clock[what, beside]):.3f})"
            for beside in besides
        ]
        print(f"               {what}: {' -> '.join(each)}")
    for value in answers:
        each = [f"{np.median(waits[value, beside]):.3f} ({max(waits[value, beside]):.3f})" for beside in besides]
        print(f"               {value:,}, known so long after the quiet that ends it: {' -> '.join(each)}")


if __name__ == "__main__":
    main()
