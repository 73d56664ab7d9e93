"""Gather what ``train.py --fold`` kept into one small file, from which the benchmark takes the figures that count.

    python folds.py OUT ../recipe/out-of-fold.npz

For each recording of the number speakers, under ``speaker|words``: log-probabilities (time, phones) of the network that
never heard the speaker, as uint8 in eighths of a nat below zero, -15 and less as 120.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np


def main() -> None:
    kept = {}
    for path in sorted(Path(sys.argv[1]).glob("fold-*.npz")):
        for key, scores in np.load(path).items():
            _, speaker, _, words = key.split("|")
            kept[f"{speaker}|{words}"] = np.clip(np.round(scores.astype(np.float32) * -8), 0, 120).astype(np.uint8)
    np.savez_compressed(sys.argv[2], **kept)
    print(len(kept), "recordings")


if __name__ == "__main__":
    main()
