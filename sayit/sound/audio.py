"""Sound files in, and sound at the one rate that the rest of the tool works at.

Everything past this module is ``float32`` in [-1, 1], one channel, 16,000
samples a second: what the listener, the voice activity detector and the level
check all expect.
"""

import math
import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from sayit.errors import SayitError

if TYPE_CHECKING:
    import soundfile

RATE = 16_000

LONGEST_SECONDS = 600.0
"""No answer and no phrase comes near it; what is longer was not meant."""

_RATES = (1_000, 768_000)
_BLOCK = 1 << 18
_ENDLESS = 1 << 48
"""What libsndfile says of the length of a stream is as large."""


def load(path: str | os.PathLike[str], rate: int = RATE, longest: float = LONGEST_SECONDS) -> np.ndarray:
    """Read a sound file as ``float32`` mono at ``rate`` Hz, shape ``(samples,)``, in [-1, 1].

    WAV, FLAC, OGG (Vorbis or Opus) and what else libsndfile reads, at any rate
    and with any number of channels (they are averaged). It is read by blocks, so that no more is
    held than is given back, at most ``longest`` seconds.

    Raises SayitError, one line, when the file is missing, is a folder, cannot be
    read, is not a sound file whatever its name says, is too long, or holds no samples.
    """
    path = Path(path)
    _check(path)

    import soundfile

    try:
        # As bytes, for a name may hold some that are no letters.
        with soundfile.SoundFile(path if os.name == "nt" else os.fsencode(path)) as file:
            parts = list(_resampled(_mono_blocks(path, file, longest), file.samplerate, rate))
    except (soundfile.LibsndfileError, RuntimeError, ValueError, TypeError, OSError, MemoryError) as error:
        raise SayitError(f"{path} is not a sound file that can be read: give a WAV, FLAC or OGG recording.") from error
    samples: np.ndarray = np.concatenate(parts) if parts else np.zeros(0, dtype=np.float32)
    if not len(samples):
        raise SayitError(f"{path} holds no sound (zero samples): record it again.")
    return np.clip(samples, -1.0, 1.0, out=samples)


def _check(path: Path) -> None:
    try:
        if not path.exists():
            raise SayitError(f"No such file: {path}. Check the name and the folder.")
        if path.is_dir():
            raise SayitError(f"{path} is a folder: name the sound files in it.")
        if not path.is_file():
            raise SayitError(f"{path} is a pipe or a device, no file: give a WAV, FLAC or OGG recording.")
        size = path.stat().st_size
        with path.open("rb"):
            pass
    except OSError as error:
        raise SayitError(f"Cannot open {path}: {error.strerror}. Check the name and who may read it.") from error
    if size == 0:
        raise SayitError(f"{path} is empty (0 bytes): record it again.")


def _mono_blocks(path: Path, file: "soundfile.SoundFile", longest: float) -> Iterator[np.ndarray]:
    if not _RATES[0] <= file.samplerate <= _RATES[1]:
        raise ValueError(f"{file.samplerate} samples a second")
    size, read = max(_BLOCK // file.channels, 256), 0
    while True:
        # What the file says of its own length may be wrong.
        if max(read, file.frames if file.frames < _ENDLESS else 0) > longest * file.samplerate:
            seconds = math.ceil(max(read, file.frames) / file.samplerate)
            raise SayitError(f"{path} is too long: {seconds:,} s, at most {longest:g}.")
        block = file.read(size, dtype="float32", always_2d=True)
        if not len(block):
            return
        read += len(block)
        mono = block.mean(axis=1, dtype=np.float32)
        if not np.isfinite(mono).all():
            raise SayitError(f"{path} holds values that are not sound (NaN or infinity): record it again.")
        yield mono


def _resampled(blocks: Iterator[np.ndarray], rate: int, to: int) -> Iterator[np.ndarray]:
    if rate == to:
        yield from blocks
        return
    import soxr

    stream = soxr.ResampleStream(rate, to, 1, dtype="float32")
    block = None
    for block in blocks:
        yield stream.resample_chunk(block)
    if block is not None:
        yield stream.resample_chunk(block[:0], last=True)


def resample(samples: np.ndarray, rate: int, to: int = RATE) -> np.ndarray:
    """Mono ``samples`` taken at ``rate`` Hz, as ``float32`` at ``to`` Hz (soxr, high quality)."""
    samples = np.ascontiguousarray(samples, dtype=np.float32)
    if rate == to:
        return samples
    import soxr

    made: np.ndarray = soxr.resample(samples, rate, to).astype(np.float32, copy=False)
    return made


def save(samples: np.ndarray, path: str | os.PathLike[str], rate: int = RATE) -> None:
    """Write mono ``float32`` samples as 16-bit PCM; the name's ending says WAV, FLAC or OGG.

    Raises SayitError, one line, when the folder is missing, the place cannot be
    written, or the ending is none of the three.
    """
    path = Path(path)
    if path.suffix.lower() not in (".wav", ".flac", ".ogg"):
        raise SayitError(f"Cannot tell the kind of sound file from {path.name!r}: end it in .wav, .flac or .ogg.")
    if not path.parent.is_dir():
        raise SayitError(f"No such folder: {path.parent}. Make it first.")

    import soundfile

    subtype = "VORBIS" if path.suffix.lower() == ".ogg" else "PCM_16"
    try:
        soundfile.write(path, np.clip(samples, -1.0, 1.0), rate, subtype=subtype)
    except (soundfile.LibsndfileError, RuntimeError, OSError) as error:
        raise SayitError(f"Cannot write {path}: choose a folder and name that can be written.") from error
