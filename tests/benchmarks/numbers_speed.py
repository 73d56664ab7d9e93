"""Speed of naming and reading numbers, as ratios against num2words and text2num.

    python -m tests.benchmarks.numbers_speed

num2words is plain Python. text2num 3 is compiled (Rust) and gives the value only.
The peers and ours take turns on the same numbers; a time is the best of several
rounds. "new" are names not read before, "again" are names read a moment ago, as
when a listener weighs its guesses: readings are kept.
"""

import argparse
import importlib.metadata
import random
import time

from num2words import num2words
from text_to_num import alpha2digit, text2num

from sayit.numbers import HIGHEST, name, read

ROUNDS = 5


def microseconds(tasks, items):
    """Best time for one item of each task, the tasks taking turns."""
    best = dict.fromkeys(tasks, float("inf"))
    for _ in range(ROUNDS):
        for label, (prepare, work) in tasks.items():
            prepare()
            began = time.perf_counter()
            for item in items:
                work(item)
            best[label] = min(best[label], (time.perf_counter() - began) / len(items) * 1e6)
    return best


def nothing():
    pass


def report(title, peer, best):
    print(title)
    for label, taken in best.items():
        times = "" if label == peer else f"   {best[peer] / taken:6.2f} times as fast as {peer}"
        print(f"  {label:32}{taken:9.3f} µs{times}")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=5_000, help="how many numbers (default 5,000)")
    count = parser.parse_args().count
    values = random.Random(1).sample(range(HIGHEST + 1), count)
    versions = {peer: f"{peer} {importlib.metadata.version(peer)}" for peer in ("num2words", "text2num")}

    peer = versions["num2words"]
    tasks = {
        peer: (nothing, num2words),
        "sayit plain, with and": (nothing, lambda value: name(value, use_and=True)),
        "sayit plain": (nothing, name),
        "sayit explicit": (nothing, lambda value: name(value, "explicit")),
    }
    report(f"naming {count:,} numbers", peer, microseconds(tasks, values))

    peer = versions["text2num"]
    names = [name(value) for value in values]
    tasks = {
        peer: (nothing, lambda words: text2num(words, "en")),
        "text2num in running text": (nothing, lambda words: alpha2digit(words, "en")),
        "sayit new": (read.cache_clear, read),
    }
    report(f"reading {count:,} plain names", peer, microseconds(tasks, names))

    few = names[:1_000]
    for words in few:
        read(words)
    tasks = {peer: (nothing, lambda words: text2num(words, "en")), "sayit again": (nothing, read)}
    report("reading 1,000 plain names again", peer, microseconds(tasks, few))

    worded = [f"um {words.capitalize()}" for words in names]
    tasks = {
        "text2num in running text": (nothing, lambda words: alpha2digit(words, "en")),
        "sayit new": (read.cache_clear, read),
    }
    report("reading answers with a filler", "text2num in running text", microseconds(tasks, worded))


if __name__ == "__main__":
    main()
