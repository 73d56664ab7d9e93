"""Older copies of the record that lie on this machine: backups, and what a restore put aside."""

import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from sayit.store.checks import name_key
from sayit.store.entries import Child
from sayit.store.opening import connect
from sayit.store.rows import text_of

if TYPE_CHECKING:
    from sayit.store.record import Record

_SETTING = "backups"
_MOST = 100


def note_backup(record: "Record", target: Path) -> None:
    """Remember where a backup was written, so that ``forget`` can name it."""
    known = [str(path) for path in _backups(record)]
    record.keep_settings({_SETTING: [*dict.fromkeys([*known, str(target.absolute())])][-_MOST:]})


def drop_backups_named(record: "Record", child: Child) -> None:
    """Remember no backup any more whose path holds the child's name."""
    known = [str(path) for path in _backups(record)]
    if len(left := [one for one in known if name_key(child.name) not in name_key(one)]) < len(known):
        record.keep_settings({_SETTING: left})


def note_backups_of(record: "Record", other: Path) -> None:
    """Remember also the backups that the record at ``other`` knows of."""
    for (found,) in read_only(
        other, "SELECT value.value FROM setting, json_each(value) AS value WHERE name = 'backups'"
    ):
        note_backup(record, Path(str(found)))


def put_aside(path: Path) -> list[Path]:
    """The records that a restore of the record at ``path`` put aside, oldest first."""
    return sorted(one for one in path.parent.glob(f"{path.stem}-before-*{path.suffix}") if one.is_file())


def recordings_put_aside(path: Path, at: datetime) -> set[str]:
    """Recordings that records put aside name, each inside the days that its child had there: so a restore can be undone."""
    found = set()
    for kept in put_aside(path):
        for recording, judged_at, days in read_only(
            kept,
            "SELECT recording, judged_at, keep_audio_days FROM answer JOIN child ON child.id = child "
            "WHERE recording IS NOT NULL AND keep_audio_days BETWEEN 1 AND 365",
        ):
            if judged_at >= text_of(at - timedelta(days=days)):
                found.add(recording)
    return found


def copies_with(record: "Record", child: Child) -> tuple[Path, ...]:
    """Copies that hold that child, or of which it cannot be told; those that are not there any more are left out."""
    copies = put_aside(record.path) + _backups(record)
    # A backup that was killed leaves a part of itself.
    copies += [copy.with_name(f".{copy.name}.part") for copy in copies]
    key = name_key(child.name)
    return tuple(copy for copy in dict.fromkeys(copies) if _there(copy) and _holds(copy, key))


def read_only(path: Path, query: str, values: tuple[object, ...] = ()) -> list[sqlite3.Row]:
    """What a query finds in another file; nothing where it cannot be asked."""
    try:
        with closing(connect(path, "ro")) as connection:
            return connection.execute(query, values).fetchall()
    except (sqlite3.DatabaseError, UnicodeDecodeError):
        return []


def _backups(record: "Record") -> list[Path]:
    found = record.settings().get(_SETTING)
    return [Path(one) for one in found if isinstance(one, str)] if isinstance(found, list) else []


def _there(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:
        return False


def _holds(path: Path, key: str) -> bool:
    known = read_only(path, "SELECT 1 FROM child UNION SELECT 2")
    return not known or bool(read_only(path, "SELECT 1 FROM child WHERE name_key = ?", (key,)))
