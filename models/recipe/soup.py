"""Average the sister networks of each fold, which started alike and differ by seed, and hear what the fold left out.

    python soup.py PACK OUT --whisper ENCODER.npz --jobs 0 1 2 3 4 5 all [--with START.npz]

reads ``OUT/NAME-SEED.pt`` and writes ``OUT/network-NAME-soup.npz`` and ``OUT/fold-NAME-soup.npz``.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import torch
from features import LogMel
from lexicon import PHONES
from network import from_whisper
from train import Corpus, averaged, finish


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("pack", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--whisper", type=Path, required=True)
    parser.add_argument("--jobs", nargs="+", required=True)
    parser.add_argument("--folds", type=int, default=6)
    parser.add_argument("--speakers", type=Path, help="as for train.py")
    parser.add_argument(
        "--with", dest="start", type=Path, help="count the weights of the start as much as the sisters'"
    )
    args = parser.parse_args()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    corpus = Corpus(args.pack, device, None, {"numbers", "held"})
    mel = LogMel().to(device)
    network = from_whisper(args.whisper, len(PHONES), 0.0, 0.0).to(device)
    speakers = sorted({r["speaker"] for r in corpus.rows if r["group"] == "numbers"})
    if args.speakers:
        speakers = sorted(set(speakers) & set(args.speakers.read_text().split()))
    for name in args.jobs:
        sisters = sorted(args.out.glob(f"{name}-[0-9].pt"))
        apart = set() if name == "all" else set(speakers[int(name) :: args.folds])
        left_out = [r for r in corpus.rows if r["speaker"] in apart]
        network.load_state_dict(averaged(sisters + [args.start] * (len(sisters) if args.start else 0)))
        finish(name, "half" if args.start else "soup", network, mel, corpus, left_out, args.out)
        print(name, len(sisters), len(left_out), flush=True)


if __name__ == "__main__":
    main()
