"""Make a voice pack of spoken clips: trimmed, of one loudness, as Ogg Opus in one zip.

    python build.py ../voices/british british "Kokoro-82M, style bm_fable" CLIPS.zip [BETTER.zip ...]

A clip of a later zip goes before one of an earlier.  Clips that no zip holds stay as the folder has them, and what the
bank no longer says is left out.
"""

from __future__ import annotations

import argparse
import io
import json
import re
import sys
import zipfile
from pathlib import Path

import numpy as np
import pyloudnorm
import soundfile
import soxr
from clips import numbers, phrases

from sayit.sound.level import active_dbfs
from sayit.speaking.phrases import open_bank

RATE = 24_000
LOUDNESS = -23.0
"""LUFS, ITU-R BS.1770."""

PEAK = -1.5
"""dBTP before coding, which adds a little; -1 is allowed."""

QUIET = 0.01
"""Below this share of the clip's peak (-40 dB) it is still."""

KEEP, FADE, STILL = 0.025, 0.008, 0.03
"""Seconds of stillness kept at either end, over how many it rises (it falls over all), and of silence after it.

What ends in breath is cut while it sounds: coded as Opus, with less after it it would end in a click.
"""

VOICED = re.compile(r"(?!who)[aeioulmnrwy]", re.IGNORECASE)
"""How the clips that begin with a voice are spelled."""

BREATH, SOFT_BREATH = -20.0, -25.0
"""Decibels beside the loudest 20 ms below which the end of a clip is breath, the latter after soft sounds."""

SOFT = re.compile(r"(?:[sxtkp]|[tkp]e)\W*$")
"""How the clips that end in a soft sound are spelled: a final "s" or "t" is 18 to 22 dB below the vowel (from these clips)."""

HISS = 0.14
"""Seconds within which a hiss before a word is over."""

BITS = 0.94
"""libsndfile's compression for Opus: some 21 kbit/s."""


def frames(samples: np.ndarray, size: int) -> np.ndarray:
    """Stretches of ``size`` samples, one a row; what is left over is left out."""
    return samples[: len(samples) // size * size].reshape(-1, size)


def levels(samples: np.ndarray) -> np.ndarray:
    """Loudest sample of each 5 ms."""
    return np.abs(frames(samples, RATE // 200)).max(axis=1)


def span(samples: np.ndarray) -> tuple[int, int]:
    """Where the sound begins and ends."""
    where = np.flatnonzero(levels(samples) > QUIET * np.abs(samples).max())
    return where[0] * RATE // 200, (where[-1] + 1) * RATE // 200


def beginning(samples: np.ndarray, start: int, clip: str) -> int:
    """Where a clip begins whose sound begins at ``start``: a little before it, but after a hiss.

    The British style puts one of 0.05 to 0.12 s before some words that begin with a voice ("snine"). A hiss crosses zero
    more often than in three of ten samples (over 3.6 kHz).
    """
    before = max(0, start - int(KEEP * RATE))
    if not VOICED.match(clip):
        return before
    size = RATE // 100
    first = frames(samples[start : start + int(HISS * RATE)], size)
    crossings = (np.diff(np.signbit(first), axis=1) != 0).mean(axis=1)
    hisses = np.flatnonzero((crossings > 0.3) & (np.sqrt((first**2).mean(axis=1)) > 0.02 * np.abs(samples).max()))
    known = len(hisses) >= 3 and hisses[-1] + 1 < len(first)
    return start + int(hisses[-1] + 1) * size if known else before


def before_breath(samples: np.ndarray, end: int, clip: str) -> int:
    """Where the word ends before it is breathed out: the British style does so for up to 0.3 s."""
    size = RATE // 50
    power = (frames(samples[:end], size) ** 2).mean(axis=1)
    least = power.max() * 10 ** ((SOFT_BREATH if SOFT.search(clip) else BREATH) / 10)
    return min(end, int(np.flatnonzero(power > least)[-1] + 1) * size)


def loudness(samples: np.ndarray) -> float:
    """LUFS; a clip is said again and again until it is long enough to be measured (blocks of 0.4 s)."""
    often = int(np.ceil(2.0 * RATE / len(samples)))
    return float(pyloudnorm.Meter(RATE).integrated_loudness(np.tile(samples, often)))


def true_peak(samples: np.ndarray) -> float:
    """dBTP: of the sound at four times its rate."""
    return 20 * np.log10(np.abs(soxr.resample(samples, RATE, 4 * RATE)).max())


def cut(samples: np.ndarray, start: int, end: int) -> np.ndarray:
    """A stretch and a little after it, faded in and out, and a little silence."""
    piece = samples[start : end + int(KEEP * RATE)].copy()
    rise, fall = (np.linspace(0, 1, int(seconds * RATE), dtype=np.float32) for seconds in (FADE, KEEP))
    piece[: len(rise)] *= rise
    piece[-len(fall) :] *= fall[::-1]
    return np.pad(piece, (0, int(STILL * RATE)))


def made(clip: str, sound: bytes) -> tuple[bytes, float]:
    """A clip's Ogg Opus, and its level while somebody speaks (dBFS)."""
    samples, _ = soundfile.read(io.BytesIO(sound), dtype="float32")
    start, end = span(samples)
    whole = cut(samples, beginning(samples, start, clip), before_breath(samples, end, clip))
    gain = min(LOUDNESS - loudness(whole), PEAK - true_peak(whole))
    whole *= np.float32(10 ** (gain / 20))
    out = io.BytesIO()
    soundfile.write(out, whole, RATE, format="OGG", subtype="OPUS", compression_level=BITS)
    return out.getvalue(), active_dbfs(whole, RATE)


def held_by(folder: Path) -> tuple[dict[str, bytes], float | None]:
    """The clips of a pack that is there already, and its level."""
    if not (folder / "index.json").is_file():
        return {}, None
    index = json.loads((folder / "index.json").read_text(encoding="utf-8"))
    with zipfile.ZipFile(folder / "clips.zip") as sounds:
        clips = {name: sounds.read(f"{place:04}.ogg") for place, name in enumerate(index["clips"])}
    return clips, index["level"]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("name")
    parser.add_argument("source")
    parser.add_argument("clips", type=Path, nargs="+")
    args = parser.parse_args()
    sounds: dict[str, bytes] = {}
    for path in args.clips:
        with zipfile.ZipFile(path) as held:
            sounds |= {clip: held.read(clip) for clip in held.namelist()}
    index: list[str] = []
    heard, failed = [], []
    args.folder.mkdir(parents=True, exist_ok=True)
    kept, level = held_by(args.folder)
    made_anew = args.folder / "clips.new"
    with zipfile.ZipFile(made_anew, "w") as out:
        for clip in [*phrases(open_bank()), *numbers()]:
            if clip in sounds:
                sound, loud = made(clip, sounds[clip])
                heard.append(loud)
            elif clip in kept:
                sound = kept[clip]
            else:
                failed.append(clip)
                continue
            out.writestr(zipfile.ZipInfo(f"{len(index):04}.ogg"), sound)
            index.append(clip)
    made_anew.replace(args.folder / "clips.zip")
    level = level if level is not None else round(float(np.mean(heard)), 2)
    written = {"name": args.name, "source": args.source, "level": level, "clips": index}
    text = json.dumps(written, ensure_ascii=False, separators=(",", ":")).replace('","', '",\n"')
    (args.folder / "index.json").write_text(text + "\n", encoding="utf-8")
    size = (args.folder / "clips.zip").stat().st_size
    print(f"{len(index)} clips, {len(heard)} of them new, {size / 1e6:.2f} MB, level {level:.1f} dBFS")
    if heard:
        print(f"the new ones' level {np.mean(heard):.1f} ± {np.std(heard):.1f} dBFS")
    if failed:
        print("not spoken:", *failed, sep="\n", file=sys.stderr)


if __name__ == "__main__":
    main()
