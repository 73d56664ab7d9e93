"""Backup and restore of the record."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from time import monotonic

from sayit import paths
from sayit.errors import SayitError
from sayit.store.checks import name_key
from sayit.store.copies import note_backup, note_backups_of, read_only
from sayit.store.entries import Child
from sayit.store.folders import delete_parts
from sayit.store.migrations import refuse_foreign
from sayit.store.opening import BUSY_SECONDS, check, connect, make_private, open_file, told
from sayit.store.record import Record, open_record

_FILES = ("-wal", "-shm", "-journal", "")
"""The endings of the files that together are a record."""


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
            make_private(part)
            # Before it is there, so that a part of it that a kill leaves can be named too.
            with suppress(SayitError), open_record(path) as record:
                note_backup(record, target)
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
            with suppress(OSError):
                part.unlink()
    return target


@dataclass(frozen=True, slots=True)
class Restored:
    """What a restore did: where the record before it was ``kept`` (None: there was none).

    ``consent`` are the children whose recordings are turned on, or of whom the two records said different things, as it
    holds now; ``unread`` tells that the record before could not be read, so that the backup's word holds.
    """

    kept: Path | None
    consent: tuple[Child, ...] = ()
    unread: bool = False


def restore(source: Path, *, at: datetime, path: Path | None = None) -> Restored:
    """Put a backup in the record's place.

    The backup is opened for reading only; all is checked and made ready in a copy, then put in the record's place in one
    transaction of its file, so a kill leaves either the old or the new one, and a program that has the record open goes on
    with the new one. Of two records that differ about recordings of a child, the stricter one holds: what a parent
    turned off must not come back with a backup. ``SayitError`` for what is no whole backup; then nothing has changed.
    """
    path = path or paths.record()
    with told(path):
        _refuse(source, path)
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        delete_parts(path)
        try:
            return _restore(source, at, path)
        finally:
            delete_parts(path)


def _refuse(source: Path, path: Path) -> None:
    if not source.is_file():
        raise SayitError(f"There is no file {source}: check the path of the backup.")
    if path.exists() and source.samefile(path):
        raise SayitError(f"{source} is the record itself: name a backup.")
    if path.exists() and not path.is_file():
        raise SayitError(f"{path} is a folder, a pipe or a device, no record: move it away first.")
    if not source.stat().st_size:
        raise SayitError(f"{source} is empty, so it is no backup: nothing was changed.")


def _restore(source: Path, at: datetime, path: Path) -> Restored:
    part = path.with_name(f".{path.name}.part")
    days, numbers = _consent(path), _numbers(path)
    with _no_backup(source), told(source):
        check(source)
        _whole(source)
        with closing(connect(source, "ro")) as backup:
            refuse_foreign(backup)
    make_private(part)
    with closing(connect(source, "ro")) as backup, closing(connect(part, "rw")) as copy:
        backup.backup(copy)
    connection = open_file(part, durable=True)
    # Under the backup's own name, by which it is complained about.
    with _no_backup(source), Record(source, connection) as record:
        _read_all(record)
    with Record(part, open_file(part, durable=True)) as record:
        consent = _settle_consent(record, days, known=numbers.get("child", 0) > 0)
        note_backups_of(record, path)
        _go_on_from(record, numbers)
    kept = _set_aside(path, at) if _there(path) else None
    try:
        open_record(path).close()
        with told(path), closing(connect(part, "ro")) as copy, closing(connect(path, "rw")) as now:
            copy.backup(now, progress=_patient(path, BUSY_SECONDS))
    except SayitError as error:
        if kept:
            raise SayitError(f"{error} The record of now was copied to {kept} first.") from error
        raise
    open_record(path).close()
    return Restored(kept, consent, unread=days is None and kept is not None)


@contextmanager
def _no_backup(source: Path) -> Iterator[None]:
    try:
        yield
    except SayitError as error:
        # What to do with a record of now helps nobody here.
        found, _, advice = str(error).rpartition(": ")
        why = found.removeprefix("The record ").removeprefix(f"{source} ")
        update = " Update sayit." if advice.startswith("update") else ""
        raise SayitError(
            f"{source} is no backup that can be restored, nothing was changed: it {why}.{update}"
        ) from error


def _there(path: Path) -> bool:
    return any(path.with_name(path.name + ending).exists() for ending in _FILES)


def _consent(path: Path) -> dict[str, int] | None:
    """For how many days recordings of each child are kept, by ``name_key``; None where the record cannot tell."""
    if not path.exists():
        return None
    try:
        check(path)
        with closing(connect(path, "ro")) as connection:
            return dict(connection.execute("SELECT name_key, keep_audio_days FROM child").fetchall())
    except (sqlite3.DatabaseError, UnicodeDecodeError, SayitError):
        return None


def _settle_consent(record: Record, days: dict[str, int] | None, *, known: bool) -> tuple[Child, ...]:
    """Let the stricter of two consents hold; returns the children of whom the parent is told."""
    told_of = []
    for child in record.children():
        # A child who was forgotten comes back without recordings; where nobody ever was, the backup alone speaks.
        before = child.keep_audio_days if days is None or not known else days.get(name_key(child.name), 0)
        settled = child
        if before != child.keep_audio_days:
            settled = record.set_audio_days(child, min(before, child.keep_audio_days))
        if before or child.keep_audio_days:
            told_of.append(settled)
    return tuple(told_of)


def _read_all(record: Record) -> None:
    """``SayitError`` where an entry cannot be read."""
    record.settings(), record.sessions(), record.answers()
    for child in record.children():
        record.placements(child)


def _numbers(path: Path) -> dict[str, int]:
    """The highest number given out so far in each table; none where that cannot be told."""
    rows = read_only(path, "SELECT name, seq FROM sqlite_sequence WHERE typeof(seq) = 'integer'")
    return {row["name"]: row["seq"] for row in rows}


def _go_on_from(record: Record, numbers: dict[str, int]) -> None:
    """Give no number out again that was given before the restore: a sitting that still goes on may hold it."""
    with record.change() as connection:
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
        if path.exists() and not _damaged(error.__cause__):
            raise
        # It cannot be copied as a database, so the files themselves move.
        with told(path):
            for ending in _FILES:
                if (file := path.with_name(path.name + ending)).exists():
                    file.replace(kept.with_name(kept.name + ending))
        return kept


def _damaged(cause: BaseException | None) -> bool:
    if not isinstance(cause, sqlite3.DatabaseError):
        return isinstance(cause, UnicodeDecodeError)
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
