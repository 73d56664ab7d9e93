"""Where the real recordings and the synthetic voices for tests and benchmarks come from.

Recordings: speechocean762 (Zhang et al. 2021, arXiv 2104.01378; OpenSLR 101, CC BY 4.0).
They are not part of the project; see the folder's own README.
"""

import csv
import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import numpy as np

FOLDER = Path(os.environ.get("SAYIT_SPEECH_DATA", Path(__file__).parents[2] / "shared" / "speech"))
MISSING = f"the recordings are missing: put them in {FOLDER.name}/ or set SAYIT_SPEECH_DATA"

NUMBER_WORDS = set(
    """zero oh one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen
    seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand
    to too for ate won""".split()
)

VOICES = {
    "flite awb": ("flite", "awb"),
    "flite rms": ("flite", "rms"),
    "espeak en-gb": ("espeak-ng", "en-gb"),
    "espeak en-us": ("espeak-ng", "en-us"),
}
"""Two voices reserved for measuring and two of another family (formant synthesis)."""


@dataclass(frozen=True)
class Recording:
    path: Path
    words: str
    speaker: str
    age: int


def present() -> bool:
    return (FOLDER / "children" / "index.csv").is_file()


def recordings(kind: str) -> list[Recording]:
    """``kind`` is "numbers" or "read-speech"."""
    with (FOLDER / "children" / "index.csv").open(newline="") as file:
        return [
            Recording(FOLDER / "children" / row["file"], row["words"], row["speaker"], int(row["age"]))
            for row in csv.DictReader(file)
            if row["file"].startswith(kind + "/")
        ]


def speak(voice: str, text: str, path: Path) -> None:
    """Let a synthetic voice read ``text`` into a WAV file at its own rate."""
    program, name = VOICES[voice]
    if shutil.which(program) is None:
        raise RuntimeError(f"{program} is missing: apt-get install {program}")
    command = (
        ["flite", "-voice", name, "-t", text, "-o", str(path)]
        if program == "flite"
        else ["espeak-ng", "-v", name, "-s", "140", "-w", str(path), text]
    )
    subprocess.run(command, check=True, capture_output=True)


def childlike(samples: np.ndarray, factor: float = 1.25) -> np.ndarray:
    """Raise pitch and formants by ``factor`` (a shorter vocal tract), keeping the pace.

    Played faster, then the pace restored by overlap-add; a crude child, but not one
    that a listener has met.
    """
    import soxr

    fast = soxr.resample(samples, 16_000, 16_000 / factor)
    return _stretched(fast, factor)


def _stretched(samples: np.ndarray, factor: float, frame: int = 640, reach: int = 160) -> np.ndarray:
    """Lengthen by ``factor`` keeping pitch: overlap-add with best-matching frames (WSOLA, Verhelst & Roelands 1993)."""
    hop = frame // 2
    window = np.hanning(frame).astype(np.float32)
    count = int(len(samples) * factor) // hop
    out = np.zeros(count * hop + frame, np.float32)
    padded = np.pad(samples, (reach, frame + 2 * reach))
    natural = 0
    for step in range(count):
        ideal = int(step * hop / factor)
        start = ideal
        if step:
            target = padded[natural : natural + frame]
            tries = range(max(0, ideal - reach), min(ideal + reach, len(padded) - frame), 4)
            start = max(tries, key=lambda at: float(padded[at : at + frame] @ target), default=ideal)
        piece = padded[start : start + frame]
        if len(piece) < frame:
            break
        out[step * hop : step * hop + frame] += piece * window
        natural = min(start + hop, len(padded) - frame)
    return out


def noisy(samples: np.ndarray, decibels: float, seed: int) -> np.ndarray:
    """Add pink-ish room noise at a signal-to-noise ratio of ``decibels``."""
    random = np.random.default_rng(seed)
    spectrum = np.fft.rfft(random.standard_normal(len(samples)))
    spectrum /= np.sqrt(np.maximum(np.arange(len(spectrum)), 1))
    noise = np.fft.irfft(spectrum, len(samples))
    power = np.mean(samples**2) / 10 ** (decibels / 10)
    return (samples + noise * np.sqrt(power / np.mean(noise**2))).astype(np.float32)
