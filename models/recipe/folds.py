"""Gather what ``train.py`` and ``soup.py`` kept into one small file, from which the benchmark takes the figures that count.

    python folds.py OUT ../recipe/out-of-fold.npz

For each recording of the number speakers, under ``speaker|words``: log-probabilities (time, phones), at the speed at which
it was said, of the averaged network that never heard the speaker, as uint8 in eighths of a nat below zero, -15 and less as
120.  For digit strings also under ``speaker|words|seed``: the same of each sister network, for the spread.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np


def main() -> None:
    kept = {}
    for path in sorted(Path(sys.argv[1]).glob("fold-*.npz")):
        seed = path.stem.split("-")[2]
        for key, scores in np.load(path).items():
            speed, group, speaker, words = key.split("|")
            if float(speed) != 1.0 or (seed != "soup" and group != "numbers"):
                continue
            name = f"{speaker}|{words}" + ("" if seed == "soup" else f"|{seed}")
            kept[name] = np.clip(np.round(scores.astype(np.float32) * -8), 0, 120).astype(np.uint8)
    np.savez_compressed(sys.argv[2], **kept)
    print(len(kept), "recordings")


if __name__ == "__main__":
    main()
