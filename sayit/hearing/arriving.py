"""A model on its way here: fetched, unpacked and copied within bounds; whatever comes is taken for possibly broken."""

from __future__ import annotations

import os
import shutil
import stat
import urllib.parse
import urllib.request
import zipfile
from collections.abc import Callable, Iterable
from pathlib import Path, PurePosixPath
from typing import IO

from sayit.errors import SayitError

__all__ = ["LARGEST", "Progress", "copy", "fetch", "unpack"]

Progress = Callable[[int, int | None], None]
"""Called with bytes done and bytes in all (None where the sender does not say)."""

LARGEST = 6_000_000_000
"""Bytes that a model may have; the largest for Vosk has some 4 GB (from memory)."""

_USUAL = 500_000_000
_TIGHTEST = 20
"""Larger ones than the usual hold weights, which hardly grow when they are unpacked."""

_MOST_FILES = 2_000
_SILENT_SECONDS = 30.0
_BLOCK = 1 << 20


def fetch(address: str, scratch: Path, progress: Progress | None) -> Path:
    """Fetch a file from an address (http, https); ``SayitError``, one line, whatever goes wrong."""
    try:
        name = PurePosixPath(urllib.parse.urlsplit(address).path).name
        path = scratch / (name if name.isprintable() and 0 < len(name) < 100 else "model.zip")
        with urllib.request.urlopen(address, timeout=_SILENT_SECONDS) as reply, path.open("wb") as file:  # noqa: S310  # http or https: see install
            length = reply.headers.get("Content-Length", "")
            total = int(length) if length.isdecimal() else None
            done = _pour(reply, file, LARGEST, lambda done: progress and progress(done, total))
    except SayitError:
        raise
    except Exception as error:  # noqa: BLE001  # what urllib and a sender may bring about is no short list
        reason = " ".join(str(getattr(error, "reason", error)).split()) or type(error).__name__
        raise SayitError(
            f"Could not fetch {address!r} ({reason}): check the connection and the address, or install from a zip file."
        ) from None
    if total is not None and done != total:
        raise SayitError(f"{address} broke off after {done} of {total} bytes: try again.")
    return path


def unpack(path: Path, target: Path) -> Path:
    """Unpack a zip file into ``target``; the folder in it that is the model, or ``target`` itself.

    Paths outside, encryption, and far more than a model of that size can hold are refused.
    """
    try:
        allowed = min(LARGEST, max(_USUAL, _TIGHTEST * path.stat().st_size))
        with zipfile.ZipFile(path) as archive:
            entries = archive.infolist()
            _check_entries(path.name, entries, target)
            for entry in entries:
                place = target / entry.filename
                if entry.is_dir():
                    place.mkdir(parents=True, exist_ok=True)
                    continue
                place.parent.mkdir(parents=True, exist_ok=True)
                # What the file says of its own size need not be true.
                with archive.open(entry) as packed, place.open("xb") as file:
                    allowed -= _pour(packed, file, allowed)
    except SayitError:
        raise
    except OSError as error:
        raise SayitError(
            f"{path.name} cannot be unpacked ({error.strerror or error}): check the file and free space."
        ) from None
    except Exception:  # noqa: BLE001  # what a broken zip file brings about is no short list
        raise SayitError(f"{path.name} is not a whole zip file: fetch it again.") from None
    return target


def copy(folder: Path, target: Path) -> None:
    """Copy a model folder; ``SayitError`` for what holds links or devices, or more than a model can."""
    allowed = LARGEST
    for count, path in enumerate(_inside(folder)):
        found = path.lstat()
        if not stat.S_ISREG(found.st_mode) and not stat.S_ISDIR(found.st_mode):
            raise SayitError(f"{folder} holds what is neither file nor folder ({path.name!r}): choose another.")
        allowed -= found.st_size
        if allowed < 0 or count >= _MOST_FILES:
            raise _too_much(str(folder))
    shutil.copytree(folder, target)


def _inside(folder: Path) -> Iterable[Path]:
    for where, folders, files in os.walk(folder, onerror=_refuse):
        yield from (Path(where) / name for name in (*folders, *files))


def _refuse(error: OSError) -> None:
    raise error


def _check_entries(name: str, entries: list[zipfile.ZipInfo], target: Path) -> None:
    if len(entries) > _MOST_FILES:
        raise _too_much(name)
    for entry in entries:
        if entry.flag_bits & 1:
            raise SayitError(f"{name} is encrypted: unpack it yourself, and install the folder.")
        if not (target / entry.filename).resolve().is_relative_to(target.resolve()):
            raise SayitError(f"{name} holds a path outside its own folder ({entry.filename!r}): do not use it.")


def _pour(source: IO[bytes], file: IO[bytes], most: int, told: Callable[[int], object] = lambda done: None) -> int:
    done = 0
    while block := source.read(_BLOCK):
        done += len(block)
        if done > most:
            raise _too_much("It")
        file.write(block)
        told(done)
    return done


def _too_much(what: str) -> SayitError:
    return SayitError(f"{what} holds far more than a model does, and was not installed: do not use it.")
