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

SPARED = {
    f"espeak {variant}": ("espeak-ng", variant)
    for variant in ("en-us+f4", "en-gb+Annie", "en-us+shelby", "en-gb+klatt4")
}
"""Variants that the listener did not learn from, though it knows the synthesiser."""


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
    program, name = (VOICES | SPARED)[voice]
    if shutil.which(program) is None:
        raise RuntimeError(f"{program} is missing: apt-get install {program}")
    command = (
        ["flite", "-voice", name, "-t", text, "-o", str(path)]
        if program == "flite"
        else ["espeak-ng", "-v", name, "-s", "140", "-w", str(path), text]
    )
    subprocess.run(command, check=True, capture_output=True)
