"""Sound files in, and sound at the one rate that the rest of the tool works at.

Everything past this module is ``float32`` in [-1, 1], one channel, 16,000
samples a second: what the listener, the voice activity detector and the level
check all expect.
"""

import os
from pathlib import Path

import numpy as np

from sayit.errors import SayitError

RATE = 16_000


def load(path: str | os.PathLike[str], rate: int = RATE) -> np.ndarray:
    """Read a sound file as ``float32`` mono at ``rate`` Hz, shape ``(samples,)``, in [-1, 1].

    WAV, FLAC, OGG (Vorbis or Opus) and what else libsndfile reads, at any rate
    and with any number of channels (they are averaged).

    Raises SayitError, one line, when the file is missing, is a folder, cannot be
    read, is not a sound file whatever its name says, or holds no samples.
    """
    path = Path(path)
    if not path.exists():
        raise SayitError(f"No such file: {path}. Check the name and the folder.")
    if path.is_dir():
        raise SayitError(f"{path} is a folder: name the sound files in it.")
    if not path.is_file():
        raise SayitError(f"{path} is a pipe or a device, no file: give a WAV, FLAC or OGG recording.")
    try:
        size = path.stat().st_size
        with path.open("rb"):
            pass
    except OSError as error:
        raise SayitError(f"Cannot open {path}: {error.strerror}. Check who may read it.") from error
    if size == 0:
        raise SayitError(f"{path} is empty (0 bytes): record it again.")

    import soundfile

    try:
        samples, own_rate = soundfile.read(path, dtype="float32", always_2d=True)
    except (soundfile.LibsndfileError, RuntimeError, ValueError, MemoryError) as error:
        raise SayitError(f"{path} is not a sound file that can be read: give a WAV, FLAC or OGG recording.") from error
    if samples.shape[0] == 0:
        raise SayitError(f"{path} holds no sound (zero samples): record it again.")
    mono = samples.mean(axis=1, dtype=np.float32)
    if not np.isfinite(mono).all():
        raise SayitError(f"{path} holds values that are not sound (NaN or infinity): record it again.")
    limited: np.ndarray = np.clip(resample(mono, own_rate, rate), -1.0, 1.0)
    return limited


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
