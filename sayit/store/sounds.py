"""Recordings of a child's answers: kept only where the parent said so, and only so many days."""

import os
import shutil
import time
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from secrets import token_hex
from typing import TYPE_CHECKING

from sayit.errors import SayitError
from sayit.store.entries import Answer, Child

if TYPE_CHECKING:
    import numpy as np

    from sayit.store.record import Record

_WRITING_SECONDS = 600


def folder(record: "Record", child: Child | None = None) -> Path:
    """Where recordings lie: beside the record, a folder for each child."""
    place = record.path.parent / f"{record.path.stem}-recordings"
    return place / str(child.id) if child else place


def keep_sound(record: "Record", answer: Answer, samples: "np.ndarray") -> Answer:
    """Keep the sound of an answer that the record has, if the parent turned recordings on for the child.

    ``samples`` are float32, mono, 16 kHz. Returns the answer with its ``recording``
    (a path inside ``folder``), or as it was where nothing is to be kept. ``SayitError``
    where the file cannot be written; the answer itself is kept all the same.
    """
    child = next((child for child in record.children() if child.id == answer.child), None)
    if child is None or not child.keep_audio_days:
        return answer
    import soundfile

    name = f"{child.id}/{answer.judged_at:%Y%m%dT%H%M%S}-{token_hex(4)}.flac"
    path = folder(record) / name
    # The row first: a file that no row names counts as left over.
    named = record.set_recording(answer, name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
            soundfile.write(file, samples, 16_000, format="FLAC")
    except (OSError, soundfile.SoundFileError) as error:
        with suppress(OSError):
            path.unlink()
        record.set_recording(named, None)
        raise SayitError(
            f"A recording of {child.name} could not be kept in {path.parent}: look whether the disk is full. "
            "The answer itself is kept."
        ) from error
    return named


def delete_expired(record: "Record", at: datetime) -> int:
    """Delete recordings past their day limit, and files that no answer names; returns how many files went.

    ``SayitError`` names the first file that cannot be deleted.
    """
    place = folder(record)
    gone = 0
    for child in record.children():
        until = at - timedelta(days=child.keep_audio_days) if child.keep_audio_days else None
        for answer in record.recorded(child, until):
            if name := answer.recording:
                gone += _delete(place / name)
            record.set_recording(answer, None)
    if not place.is_dir():
        return gone
    recorded = [answer.recording for child in record.children() for answer in record.recorded(child)]
    named = {place / name for name in recorded if name}
    for path in place.glob("*/*"):
        if path not in named and time.time() - path.stat().st_mtime > _WRITING_SECONDS:
            gone += _delete(path)
    return gone


def delete_folder(record: "Record", child: Child) -> None:
    """Delete all recordings of a child."""
    if (place := folder(record, child)).is_dir():
        shutil.rmtree(place)


def _delete(path: Path) -> int:
    try:
        path.unlink()
    except FileNotFoundError:
        return 0
    except OSError as error:
        raise SayitError(
            f"A recording that is past its days cannot be deleted ({error.strerror}): delete {path} yourself."
        ) from error
    return 1
