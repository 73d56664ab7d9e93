"""Recordings of a child's answers: kept only where the parent said so, and only so many days."""

import os
import re
import time
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from secrets import token_hex
from typing import TYPE_CHECKING

from sayit.errors import SayitError
from sayit.store.copies import recordings_put_aside
from sayit.store.entries import Answer, Child
from sayit.store.folders import recordings_folder
from sayit.store.rows import ANSWER_FIELDS, answer_of, stored

if TYPE_CHECKING:
    import numpy as np

    from sayit.store.record import Record

_WRITING_SECONDS = 600
_OWN_NAME = re.compile(r"[\w-]+\.flac", re.ASCII)


def folder(record: "Record", child: Child | None = None) -> Path:
    """Where recordings lie: beside the record, a folder for each child."""
    return recordings_folder(record.path, child)


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
    named = _set_recording(record, answer, name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
            soundfile.write(file, samples, 16_000, format="FLAC")
    except (OSError, soundfile.SoundFileError) as error:
        with suppress(OSError):
            path.unlink()
        _set_recording(record, named, None)
        raise SayitError(
            f"A recording of {child.name} could not be kept in {path.parent}: look whether the disk is full. "
            "The answer itself is kept."
        ) from error
    if not record.rows("SELECT 1 FROM answer WHERE id = ? AND recording = ?", (answer.id, name)):
        # The child was forgotten while the sound was written.
        _delete(path)
    return named


def sound_file(record: "Record", answer: Answer) -> Path | None:
    """Where the sound of an answer lies, or None where none is kept; whether the file is there is not looked at.

    A restored record may name any path: only our own names are ever deleted or handed out.
    """
    whose, _, name = (answer.recording or "").partition("/")
    return folder(record) / whose / name if whose == str(answer.child) and _OWN_NAME.fullmatch(name) else None


def delete_expired(record: "Record", at: datetime) -> int:
    """Delete recordings past their day limit, and files that no answer names; returns how many files went.

    Recordings that a record put aside by a restore still names stay as long as that one had it.
    ``SayitError`` names the first file that cannot be deleted.
    """
    place = folder(record)
    gone = 0
    aside = recordings_put_aside(record.path, at)
    for child in record.children():
        until = at - timedelta(days=child.keep_audio_days) if child.keep_audio_days else None
        for answer in _recorded(record, child, until):
            if answer.recording not in aside and (path := sound_file(record, answer)):
                gone += _delete(path)
            _set_recording(record, answer, None)
    if not place.is_dir():
        return gone
    named = {place / (answer.recording or "") for child in record.children() for answer in _recorded(record, child)}
    named |= {place / recording for recording in aside}
    for path in place.glob("*/*"):
        if path not in named and time.time() - path.stat().st_mtime > _WRITING_SECONDS:
            gone += _delete(path)
    return gone


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


def _set_recording(record: "Record", answer: Answer, recording: str | None) -> Answer:
    """Note where the sound of an answer lies, or with None that it is gone."""
    with record.change() as connection:
        connection.execute("UPDATE answer SET recording = ? WHERE id = ?", (recording, answer.id))
    return replace(answer, recording=recording)


def _recorded(record: "Record", child: Child, until: datetime | None = None) -> tuple[Answer, ...]:
    """Answers of a child whose sound was kept; with ``until`` those judged before."""
    return record.read(
        answer_of,
        f"SELECT {', '.join(ANSWER_FIELDS)} FROM answer "
        "WHERE child = ? AND recording IS NOT NULL AND (? IS NULL OR judged_at < ?) ORDER BY id",
        (child.id, stored(until), stored(until)),
    )
