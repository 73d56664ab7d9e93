"""Cut the children's digit strings between the words and put the pieces together anew: other orders, lengths and repeats.

All strings of the corpus have about four digits in a row that no other string has; a network that meets only a hundred of
them learns them by heart.  The cuts lie where it is quietest between the last phone of a word and the first of the next,
by an alignment (connectionist temporal classification's best path) of a network that never heard a number speaker.
"""

from __future__ import annotations

import itertools
import random

import numpy as np

RATE, SHIFT = 16_000, 160
FRAME = 2 * SHIFT  # samples between two rows of the network's output
LEAD = RATE // 4  # kept before the first and after the last phone
LENGTHS, WEIGHTS = (1, 2, 3, 4, 5, 6), (0.12, 0.2, 0.2, 0.24, 0.14, 0.1)


def spikes(scores: np.ndarray, labels: list[int]) -> list[tuple[int, int]]:
    """First and last frame of each label on the best path through log-probabilities (time, phones)."""
    states = [0]
    for label in labels:
        states += [label, 0]
    ids = np.array(states)
    skip = np.zeros(len(ids), bool)
    skip[2:] = (ids[2:] != 0) & (ids[2:] != ids[:-2])
    best = np.full(len(ids), -np.inf)
    best[:2] = scores[0, ids[:2]]
    came = np.zeros((len(scores), len(ids)), np.int8)
    for t in range(1, len(scores)):
        ways = np.full((3, len(ids)), -np.inf)
        ways[0] = best
        ways[1, 1:] = best[:-1]
        ways[2, 2:] = np.where(skip[2:], best[:-2], -np.inf)
        came[t] = ways.argmax(0)
        best = ways.max(0) + scores[t, ids]
    at = len(ids) - 1 if best[-1] > best[-2] else len(ids) - 2
    found = [[0, 0] for _ in labels]
    for t in range(len(scores) - 1, -1, -1):
        if at % 2:
            place = found[at // 2]
            place[0] = t
            place[1] = max(place[1], t)
        at -= int(came[t, at])
    return [(a, b) for a, b in found]


def pieces(samples: np.ndarray, scores: np.ndarray, said: list[list[int]]) -> list[tuple[int, int]]:
    """Where each word starts and stops in ``samples``; ``said`` are the phones of each word."""
    where = spikes(scores, [p for word in said for p in word])
    loud = np.convolve(samples.astype(np.float64) ** 2, np.ones(SHIFT), "same")
    edges = [max(0, where[0][0] * FRAME - LEAD)]
    at = 0
    for word in said[:-1]:
        at += len(word)
        low, high = where[at - 1][1] * FRAME, (where[at][0] + 1) * FRAME
        edges.append(low + int(loud[low:high].argmin()) if high > low else low)
    edges.append(min(len(samples), where[-1][1] * FRAME + LEAD))
    return [(a, b) for a, b in itertools.pairwise(edges)]


def spliced(by_speaker: dict[str, list[dict]], rng: random.Random) -> tuple[list[dict], list[int]]:
    """Pieces of one child as a new string, and the gaps before, between and behind them in samples."""
    own = by_speaker[rng.choice(sorted(by_speaker))]
    rows: list[dict] = []
    for _ in range(rng.choices(LENGTHS, WEIGHTS)[0]):
        again = [r for r in own if rows and r["words"] == rows[-1]["words"]]
        rows.append(rng.choice(again if again and rng.random() < 0.2 else own))
    gaps = [
        0 if rng.random() < 0.4 else min(int(rng.expovariate(1 / 0.12) * RATE), 10_000) for _ in range(len(rows) + 1)
    ]
    gaps[0], gaps[-1] = (min(int(rng.expovariate(1 / 0.2) * RATE), 16_000) for _ in range(2))
    return rows, gaps
