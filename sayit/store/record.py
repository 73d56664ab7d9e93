"""Opening, reading and writing the record."""

import json
import os
import sqlite3
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import fields, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Self, cast

from sayit import paths
from sayit.errors import SayitError
from sayit.store.entries import OVERRIDES, VERDICTS, Answer, Child, Placement, Session
from sayit.store.migrations import APPLICATION_ID, MIGRATIONS, migrate, version

BUSY_SECONDS = 10.0
"""How long one program waits while another one writes."""

LONGEST_AUDIO_DAYS = 365
"""The longest that recordings of a child can be kept."""

_LONGEST_NAME = 60
_ANSWER_FIELDS = tuple(field.name for field in fields(Answer))
_INSERTED = tuple(name for name in _ANSWER_FIELDS if name != "id")
_INSERT = f"INSERT INTO answer ({', '.join(_INSERTED)}) VALUES ({', '.join('?' * len(_INSERTED))})"


def open_record(path: Path | None = None, *, durable: bool = True) -> "Record":
    """Open the household's record, making it where there is none yet.

    ``durable`` False is for a throwaway record that a power cut may take.
    ``path`` defaults to ``sayit.paths.record()``. A file that is damaged, that a
    newer sayit wrote, or that is no record at all raises ``SayitError`` and is
    left exactly as it is.
    """
    path = path or paths.record()
    with _told(path):
        _make_private(path)
        _check(path)
        connection = _connect(path, "rw")
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute(f"PRAGMA synchronous = {'FULL' if durable else 'OFF'}")
            connection.execute("PRAGMA foreign_keys = ON")
            # What is deleted is overwritten: `forget` means it.
            connection.execute("PRAGMA secure_delete = ON")
            migrate(connection)
        except BaseException:
            connection.close()
            raise
    return Record(path, connection)


class Record:
    """The open record. Every method that changes something has committed when it returns."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; the record cannot be used after that."""
        self._connection.close()

    def children(self) -> tuple[Child, ...]:
        """All children, in the order in which they were added."""
        return tuple(_child(row) for row in self._rows("SELECT * FROM child ORDER BY id"))

    def child(self, name: str) -> Child | None:
        """The child of that name (capitals and spaces around it do not matter), or None."""
        rows = self._rows("SELECT * FROM child WHERE name_key = ?", (_key(name),))
        return _child(rows[0]) if rows else None

    def add_child(self, name: str, *, at: datetime, birth_month: str | None = None) -> Child:
        """Add a child; ``SayitError`` for an empty, overlong or known name or a bad month."""
        tidy = _tidy(name)
        check_month(birth_month)
        with self._change() as connection:
            if connection.execute("SELECT 1 FROM child WHERE name_key = ?", (_key(tidy),)).fetchone():
                raise SayitError(f"{tidy} is in the record already: choose another name.")
            connection.execute(
                "INSERT INTO child (name, name_key, birth_month, created) VALUES (?, ?, ?, ?)",
                (tidy, _key(tidy), birth_month, _text(at)),
            )
        return _child(self._rows("SELECT * FROM child WHERE name_key = ?", (_key(tidy),))[0])

    def set_birth_month(self, child: Child, birth_month: str | None) -> Child:
        """Note the birth month ("2020-04"), or take it out with None; ``SayitError`` for a bad one."""
        check_month(birth_month)
        with self._change() as connection:
            connection.execute("UPDATE child SET birth_month = ? WHERE id = ?", (birth_month, child.id))
        return replace(child, birth_month=birth_month)

    def set_audio_days(self, child: Child, days: int) -> Child:
        """The parent's consent: recordings of this child are kept for ``days`` days; 0 turns them off."""
        check_audio_days(days)
        with self._change() as connection:
            connection.execute("UPDATE child SET keep_audio_days = ? WHERE id = ?", (days, child.id))
        return replace(child, keep_audio_days=days)

    def forget(self, child: Child) -> int:
        """Delete a child with all that is known of it, sound files too; returns how many answers there were.

        What was deleted is overwritten in the file. Backups and exports made before
        still hold it.
        """
        from sayit.store.sounds import delete_folder

        # Files first: a kill in between leaves a child that can be forgotten again.
        with _told(self.path):
            delete_folder(self, child)
        with self._change() as connection:
            count: int = connection.execute("SELECT count(*) FROM answer WHERE child = ?", (child.id,)).fetchone()[0]
            connection.execute("DELETE FROM child WHERE id = ?", (child.id,))
        # The write-ahead log holds copies of what was there before.
        if self._rows("PRAGMA wal_checkpoint(TRUNCATE)")[0][0]:
            raise SayitError(
                f"{child.name} is deleted, but another program still reads the record: close it and start sayit "
                "once more, so that traces beside the file go too."
            )
        return count

    def place(
        self,
        child: Child,
        step: str,
        *,
        at: datetime,
        limit: int | None = None,
        pace: float = 1.0,
        skipped: tuple[str, ...] = (),
    ) -> Placement:
        """Put a child at a step of the path from ``at`` on."""
        placement = Placement(at, step, limit, pace, skipped)
        with self._change() as connection:
            connection.execute(
                "INSERT INTO placement (child, at, step, number_limit, pace, skipped) VALUES (?, ?, ?, ?, ?, ?)",
                (child.id, _text(at), step, limit, pace, _stored(skipped)),
            )
        return placement

    def placements(self, child: Child) -> tuple[Placement, ...]:
        """All placements of a child, oldest first."""
        rows = self._rows("SELECT * FROM placement WHERE child = ? ORDER BY id", (child.id,))
        return tuple(
            Placement(
                at=_time(row["at"]),
                step=row["step"],
                limit=row["number_limit"],
                pace=row["pace"],
                skipped=tuple(json.loads(row["skipped"])),
            )
            for row in rows
        )

    def start_session(
        self, child: Child, *, at: datetime, source: str, seed: int | None, aim: str | None = None
    ) -> Session:
        """Begin a sitting of one child; ``aim`` is the skill it is for."""
        with self._change() as connection:
            row = connection.execute(
                "INSERT INTO session (child, started, source, seed, aim) VALUES (?, ?, ?, ?, ?)",
                (child.id, _text(at), source, seed, aim),
            )
        return Session(id=cast("int", row.lastrowid), child=child.id, started=at, source=source, seed=seed, aim=aim)

    def end_session(self, session: Session, *, at: datetime, aim_met: str | None = None) -> Session:
        """Note that a sitting came to its end (one that was killed has none), and whether its aim was met."""
        with self._change() as connection:
            connection.execute(
                "UPDATE session SET ended = ?, aim_met = ? WHERE id = ?", (_text(at), aim_met, session.id)
            )
        return replace(session, ended=at, aim_met=aim_met)

    def sessions(self, child: Child | None = None) -> tuple[Session, ...]:
        """All sittings, or those of one child, oldest first."""
        where, values = ("WHERE child = ?", (child.id,)) if child else ("", ())
        rows = self._rows(f"SELECT * FROM session {where} ORDER BY id", values)
        return tuple(
            Session(
                id=row["id"],
                child=row["child"],
                started=_time(row["started"]),
                source=row["source"],
                seed=row["seed"],
                ended=_time_or_none(row["ended"]),
                aim=row["aim"],
                aim_met=row["aim_met"],
            )
            for row in rows
        )

    def keep(self, answer: Answer) -> Answer:
        """Write a judged answer; it is on disk when this returns, with its ``id``."""
        values = _row(answer)
        with self._change() as connection:
            row = connection.execute(_INSERT, values)
        return replace(answer, id=row.lastrowid)

    def keep_all(self, answers: Iterable[Answer]) -> int:
        """Write many answers at once, all or none of them; returns how many."""
        rows = [_row(answer) for answer in answers]
        with self._change() as connection:
            connection.executemany(_INSERT, rows)
        return len(rows)

    def override(self, answer: Answer, verdict: str | None, *, at: datetime) -> Answer:
        """Set the parent's correction beside the original verdict; None takes it back."""
        if verdict is not None and verdict not in OVERRIDES:
            raise ValueError(f"{verdict!r} is none of {OVERRIDES}")
        when = None if verdict is None else at
        with self._change() as connection:
            connection.execute(
                "UPDATE answer SET override = ?, overridden_at = ? WHERE id = ?",
                (verdict, _stored(when), answer.id),
            )
            # A learner kept from before took the old verdict in.
            connection.execute("DELETE FROM learner WHERE child = ? AND answer >= ?", (answer.child, answer.id))
        return replace(answer, override=verdict, overridden_at=when)

    def answers(
        self,
        *,
        child: Child | None = None,
        session: Session | None = None,
        since: datetime | None = None,
        limit: int | None = None,
    ) -> tuple[Answer, ...]:
        """Answers in the order in which they were judged; with ``limit`` the last so many."""
        wanted: dict[str, object] = {"child = ?": child and child.id, "session = ?": session and session.id}
        wanted["judged_at >= ?"] = _stored(since)
        conditions = [condition for condition, value in wanted.items() if value is not None]
        values = [value for value in wanted.values() if value is not None]
        where = f"WHERE {' AND '.join(conditions)}" if conditions else ""
        rows = self._rows(
            f"SELECT {', '.join(_ANSWER_FIELDS)} FROM answer {where} ORDER BY id DESC LIMIT ?",
            (*values, -1 if limit is None else limit),
        )
        return tuple(_answer(row) for row in reversed(rows))

    def count_answers(self, child: Child) -> int:
        """How many answers a child has given."""
        count: int = self._rows("SELECT count(*) FROM answer WHERE child = ?", (child.id,))[0][0]
        return count

    def set_recording(self, answer: Answer, recording: str | None) -> Answer:
        """Note where the sound of an answer lies, or with None that it is gone."""
        with self._change() as connection:
            connection.execute("UPDATE answer SET recording = ? WHERE id = ?", (recording, answer.id))
        return replace(answer, recording=recording)

    def recorded(self, child: Child, until: datetime | None = None) -> tuple[Answer, ...]:
        """Answers of a child whose sound was kept; with ``until`` those judged before."""
        rows = self._rows(
            f"SELECT {', '.join(_ANSWER_FIELDS)} FROM answer "
            "WHERE child = ? AND recording IS NOT NULL AND (? IS NULL OR judged_at < ?) ORDER BY id",
            (child.id, _stored(until), _stored(until)),
        )
        return tuple(_answer(row) for row in rows)

    def learner_state(self, child: Child) -> tuple[dict[str, Any], int, int] | None:
        """A child's learner as it was kept: its state, the last answer and the number of placements in it."""
        rows = self._rows("SELECT state, answer, placement FROM learner WHERE child = ?", (child.id,))
        return (json.loads(rows[0]["state"]), rows[0]["answer"], rows[0]["placement"]) if rows else None

    def keep_learner_state(self, child: Child, state: dict[str, Any], answer: int, placement: int) -> None:
        """Keep a child's learner, so that it need not be built from all answers again."""
        with self._change() as connection:
            connection.execute(
                "INSERT OR REPLACE INTO learner (child, state, answer, placement) VALUES (?, ?, ?, ?)",
                (child.id, json.dumps(state), answer, placement),
            )

    def pasts(self, child: Child, after: int = 0) -> list[tuple[Any, ...]]:
        """What a learner needs of the answers past ``after``, oldest first.

        Each is (id, judged_at, question, verdict, override, reasons, response_seconds); far
        quicker to read than whole answers.
        """
        # The plus keeps SQLite from walking all answers of the child to find the last few.
        rows = self._rows(
            "SELECT id, judged_at, question, verdict, override, reasons, response_seconds FROM answer "
            "WHERE +child = ? AND id > ? ORDER BY id",
            (child.id, after),
        )
        return [(row[0], _time(row[1]), row[2], row[3], row[4], _list(row[5]), row[6]) for row in rows]

    def _rows(self, query: str, values: tuple[object, ...] = ()) -> list[sqlite3.Row]:
        with _told(self.path):
            return self._connection.execute(query, values).fetchall()

    @contextmanager
    def _change(self) -> Iterator[sqlite3.Connection]:
        with _told(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield self._connection
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}",
        uri=True,
        timeout=BUSY_SECONDS,
        isolation_level=None,
    )
    connection.row_factory = sqlite3.Row
    return connection


def _make_private(path: Path) -> None:
    # What a child said is personal data: nobody else on the machine needs to read it.
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def _check(path: Path) -> None:
    # A read-only connection, because closing one that may write moves the
    # write-ahead log into the file, and a file we refuse must stay as it is.
    # Only a half-made rollback journal needs a writer before it can be read.
    journal = path.with_name(f"{path.name}-journal")
    mode = "rw" if journal.exists() and journal.stat().st_size else "ro"
    with closing(_connect(path, mode)) as connection:
        marked = connection.execute("PRAGMA application_id").fetchone()[0]
        tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if marked != APPLICATION_ID and (marked or tables or version(connection)):
            raise SayitError(
                f"{path} is a database of another program: move it away, or set SAYIT_HOME to "
                "another folder. It was left as it is."
            )
        if version(connection) > len(MIGRATIONS):
            raise SayitError(
                f"{path} was written by a newer sayit (format {version(connection)}, this one "
                f"knows {len(MIGRATIONS)}): update sayit. It was left as it is."
            )
        found = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
        if found != "ok":
            raise sqlite3.DatabaseError(found)


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Turn what SQLite and the disk complain about into one line with the next step."""
    try:
        yield
    except sqlite3.IntegrityError:
        raise
    except sqlite3.DatabaseError as error:
        name = getattr(error, "sqlite_errorname", None) or "SQLITE_CORRUPT"
        if isinstance(error, sqlite3.ProgrammingError):
            raise
        raise SayitError(_advice(path, name, str(error))) from error
    except OSError as error:
        raise SayitError(
            f"The record {path} cannot be written ({error.strerror}): free or change the folder, "
            "or set SAYIT_HOME to another one."
        ) from error


def _advice(path: Path, name: str, detail: str) -> str:
    detail = " ".join(detail.split())
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return f"Another program has been writing to {path} for too long: close it and try again."
    if name.startswith("SQLITE_FULL"):
        return f"The disk that holds {path} is full: free some space and try again."
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return (
            f"The record {path} is damaged ({detail}): move it aside to start a new one, or put a "
            "backup in its place. It was left as it is."
        )
    return (
        f"The record {path} cannot be used ({detail}): check that the folder can be written, or "
        "set SAYIT_HOME to another one."
    )


def _tidy(name: str) -> str:
    tidy = " ".join(unicodedata.normalize("NFC", name).split())
    if not tidy or not tidy.isprintable():
        raise SayitError("A child's name needs at least one letter: try --child Pip.")
    if len(tidy) > _LONGEST_NAME:
        raise SayitError(f"A child's name has at most {_LONGEST_NAME} letters: a nickname will do.")
    return tidy


def check_audio_days(days: int) -> None:
    """``SayitError`` for a number of days that recordings cannot be kept."""
    if isinstance(days, bool) or not isinstance(days, int) or not 0 <= days <= LONGEST_AUDIO_DAYS:
        raise SayitError(f"Recordings cannot be kept for {days} days: choose 1 to {LONGEST_AUDIO_DAYS}, or 0 for none.")


def check_month(text: str | None) -> None:
    """``SayitError`` for what is no month such as "2020-04"; None is fine."""
    if text is None:
        return
    try:
        datetime.strptime(text, "%Y-%m").replace(tzinfo=UTC)
    except ValueError:
        raise SayitError(f"{text!r} is no birth month: write it as year-month, such as 2020-04.") from None


def _row(answer: Answer) -> list[object]:
    if answer.verdict not in VERDICTS:
        raise ValueError(f"{answer.verdict!r} is none of {VERDICTS}")
    return [_stored(getattr(answer, name)) for name in _INSERTED]


def _key(name: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def _text(at: datetime) -> str:
    # One zone and a fixed width, so that text order is time order.
    return at.astimezone(UTC).isoformat(timespec="milliseconds")


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _time_or_none(text: str | None) -> datetime | None:
    return None if text is None else _time(text)


def _stored(value: object) -> object:
    if isinstance(value, datetime):
        return _text(value)
    if isinstance(value, tuple):
        return json.dumps(value, ensure_ascii=False)
    return value


def _child(row: sqlite3.Row) -> Child:
    return Child(
        id=row["id"],
        name=row["name"],
        birth_month=row["birth_month"],
        created=_time(row["created"]),
        keep_audio_days=row["keep_audio_days"],
    )


def _answer(row: sqlite3.Row) -> Answer:
    values = dict(row)
    for name in ("asked_at", "judged_at", "overridden_at"):
        values[name] = _time_or_none(values[name])
    values["reasons"] = _list(values["reasons"])
    values["alternatives"] = tuple((words, score) for words, score in _list(values["alternatives"]))
    return Answer(**values)


def _list(text: str) -> tuple[Any, ...]:
    # Most answers have none, and a report reads thousands.
    return () if text == "[]" else tuple(json.loads(text))
