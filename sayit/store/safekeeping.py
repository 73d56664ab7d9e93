"""Backup and restore of the record."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path
from time import monotonic

from sayit import paths
from sayit.errors import SayitError
from sayit.store.opening import BUSY_SECONDS, check, connect, told
from sayit.store.record import open_record


def back_up(target: Path, path: Path | None = None) -> Path:
    """Copy the record (default ``sayit.paths.record()``) to ``target``, also while practice runs.

    ``target`` is a file that is not there yet, or a folder. The copy is whole: it is
    written beside its name first and checked. Recordings are not part of it.
    """
    path = path or paths.record()
    if not path.exists():
        raise SayitError(f"There is no record at {path} yet: practise first, then back up.")
    if target.is_dir():
        target = target / f"{path.stem}-backup{path.suffix}"
    if target.exists():
        raise SayitError(f"{target} is there already: choose another name, it was left as it is.")
    if not target.parent.is_dir():
        raise SayitError(f"There is no folder {target.parent}: make it first, or choose another place.")
    with told(path):
        check(path)
        part = target.with_name(f".{target.name}.part")
        try:
            part.unlink(missing_ok=True)
            os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
            with closing(connect(path, "ro")) as source, closing(connect(part, "rw")) as copy:
                source.backup(copy)
                # One file that can be carried away, without a log beside it.
                copy.execute("PRAGMA journal_mode = DELETE")
            _whole(part)
            part.replace(target)
        except OSError as error:
            raise SayitError(f"{target} cannot be written ({error.strerror}): choose another folder.") from error
        except sqlite3.OperationalError as error:
            if getattr(error, "sqlite_errorname", "").startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
                raise
            raise SayitError(f"The backup {target} cannot be written ({error}): choose another folder.") from error
        finally:
            if part.exists():
                part.unlink()
    return target


def restore(source: Path, *, at: datetime, path: Path | None = None) -> Path | None:
    """Put a backup in the record's place; returns where the record before it was kept (None: there was none).

    The backup is checked first and opened for reading only. Everything happens in one
    transaction of the record's file, so a kill leaves either the old or the new
    one, and a program that has the record open goes on with the new one.
    ``SayitError`` for what is no whole backup; then nothing has changed.
    """
    path = path or paths.record()
    if not source.is_file():
        raise SayitError(f"There is no file {source}: check the path of the backup.")
    if path.exists() and source.samefile(path):
        raise SayitError(f"{source} is the record itself: name a backup.")
    if not source.stat().st_size:
        raise SayitError(f"{source} is empty, so it is no backup: nothing was changed.")
    try:
        with told(source):
            check(source)
            _whole(source)
    except SayitError as error:
        raise SayitError(f"{source} is no backup that can be restored, nothing was changed. {error}") from error
    numbers = _numbers(path)
    kept = _set_aside(path, at) if path.exists() else None
    try:
        open_record(path).close()
        with told(path), closing(connect(source, "ro")) as backup, closing(connect(path, "rw")) as record:
            backup.backup(record, progress=_patient(path, BUSY_SECONDS))
    except SayitError as error:
        if kept:
            raise SayitError(f"{error} The record of now was copied to {kept} first.") from error
        raise
    open_record(path).close()
    _go_on_from(path, numbers)
    return kept


def _numbers(path: Path) -> dict[str, int]:
    """The highest number given out so far in each table; none where that cannot be told."""
    if not path.exists():
        return {}
    try:
        with closing(connect(path, "ro")) as connection:
            return dict(connection.execute("SELECT name, seq FROM sqlite_sequence").fetchall())
    except sqlite3.DatabaseError:
        return {}


def _go_on_from(path: Path, numbers: dict[str, int]) -> None:
    """Give no number out again that was given before the restore: a sitting that still goes on may hold it."""
    with told(path), closing(connect(path, "rw")) as connection:
        for table, number in numbers.items():
            known = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = ?", (table,)).fetchone()
            if known is None:
                connection.execute("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", (table, number))
            elif known[0] < number:
                connection.execute("UPDATE sqlite_sequence SET seq = ? WHERE name = ?", (number, table))


def _patient(path: Path, seconds: float) -> Callable[[int, int, int], None]:
    """A watch over a copy that would wait for another writer for ever."""
    end = monotonic() + seconds

    def watch(status: int, _remaining: int, _total: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and monotonic() > end:
            raise SayitError(f"Another program has been writing to {path} for too long: close it and try again.")

    return watch


def _set_aside(path: Path, at: datetime) -> Path:
    name = f"{path.stem}-before-{at:%Y%m%d-%H%M%S}"
    kept = path.with_name(f"{name}{path.suffix}")
    number = 1
    while kept.exists():
        number += 1
        kept = path.with_name(f"{name}-{number}{path.suffix}")
    try:
        return back_up(kept, path)
    except SayitError as error:
        if not _damaged(error.__cause__):
            raise
        # It cannot be copied as a database, so the files themselves move.
        with told(path):
            for ending in ("-wal", "-shm", "-journal", ""):
                if (file := path.with_name(path.name + ending)).exists():
                    file.replace(kept.with_name(kept.name + ending))
        return kept


def _damaged(cause: BaseException | None) -> bool:
    if not isinstance(cause, sqlite3.DatabaseError):
        return False
    name = getattr(cause, "sqlite_errorname", None) or "SQLITE_CORRUPT"
    return name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB"))


def _whole(path: Path) -> None:
    with closing(connect(path, "ro")) as connection:
        for pragma in ("integrity_check(1)", "foreign_key_check"):
            found = connection.execute(f"PRAGMA {pragma}").fetchall()
            if found and found[0][0] != "ok":
                raise sqlite3.DatabaseError(f"{pragma.split('(')[0]}: {found[0][0]}")
        tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if not {"child", "session", "answer"} <= tables:
            raise sqlite3.DatabaseError("its tables are missing")
