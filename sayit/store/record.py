"""Opening, reading and writing the record."""

import json
import os
import sqlite3
import unicodedata
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import fields, replace
from datetime import UTC, datetime
from pathlib import Path

from sayit import paths
from sayit.errors import SayitError
from sayit.store.entries import OVERRIDES, VERDICTS, Answer, Child, Session
from sayit.store.migrations import APPLICATION_ID, MIGRATIONS, migrate, version

BUSY_SECONDS = 10.0
"""How long one program waits while another one writes."""

_LONGEST_NAME = 60
_ANSWER_FIELDS = tuple(field.name for field in fields(Answer))
_INSERTED = tuple(name for name in _ANSWER_FIELDS if name != "id")


def open_record(path: Path | None = None) -> "Record":
    """Open the household's record, making it where there is none yet.

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
            connection.execute("PRAGMA synchronous = FULL")
            connection.execute("PRAGMA foreign_keys = ON")
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

    def __enter__(self) -> "Record":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
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
        if birth_month is not None:
            try:
                datetime.strptime(birth_month, "%Y-%m")
            except ValueError:
                raise SayitError(
                    f"{birth_month!r} is no birth month: write it as year-month, such as 2020-04."
                ) from None
        with self._change() as connection:
            if connection.execute("SELECT 1 FROM child WHERE name_key = ?", (_key(tidy),)).fetchone():
                raise SayitError(f"{tidy} is in the record already: choose another name.")
            connection.execute(
                "INSERT INTO child (name, name_key, birth_month, created) VALUES (?, ?, ?, ?)",
                (tidy, _key(tidy), birth_month, _text(at)),
            )
        child = self.child(tidy)
        assert child is not None
        return child

    def start_session(self, child: Child, *, at: datetime, source: str, seed: int | None) -> Session:
        """Begin a sitting of one child."""
        with self._change() as connection:
            row = connection.execute(
                "INSERT INTO session (child, started, source, seed) VALUES (?, ?, ?, ?)",
                (child.id, _text(at), source, seed),
            )
        return Session(id=row.lastrowid, child=child.id, started=at, source=source, seed=seed)

    def end_session(self, session: Session, *, at: datetime) -> Session:
        """Note that a sitting came to its end (one that was killed has none)."""
        with self._change() as connection:
            connection.execute("UPDATE session SET ended = ? WHERE id = ?", (_text(at), session.id))
        return replace(session, ended=at)

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
                ended=_time(row["ended"]),
            )
            for row in rows
        )

    def keep(self, answer: Answer) -> Answer:
        """Write a judged answer; it is on disk when this returns, with its ``id``."""
        if answer.verdict not in VERDICTS:
            raise ValueError(f"{answer.verdict!r} is none of {VERDICTS}")
        values = [_stored(getattr(answer, name)) for name in _INSERTED]
        with self._change() as connection:
            row = connection.execute(
                f"INSERT INTO answer ({', '.join(_INSERTED)}) VALUES ({', '.join('?' * len(values))})",
                values,
            )
        return replace(answer, id=row.lastrowid)

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
        return replace(answer, override=verdict, overridden_at=when)

    def answers(
        self, *, child: Child | None = None, session: Session | None = None, limit: int | None = None
    ) -> tuple[Answer, ...]:
        """Answers in the order in which they were judged; with ``limit`` the last so many."""
        wanted = {"child": child, "session": session}
        conditions = [f"{column} = ?" for column, entry in wanted.items() if entry]
        values = [entry.id for entry in wanted.values() if entry]
        where = f"WHERE {' AND '.join(conditions)}" if conditions else ""
        rows = self._rows(
            f"SELECT {', '.join(_ANSWER_FIELDS)} FROM answer {where} ORDER BY id DESC LIMIT ?",
            (*values, -1 if limit is None else limit),
        )
        return tuple(_answer(row) for row in reversed(rows))

    def _rows(self, query: str, values: tuple = ()) -> list[sqlite3.Row]:
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
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except FileExistsError:
        pass


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


def _key(name: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def _text(at: datetime) -> str:
    # One zone and a fixed width, so that text order is time order.
    return at.astimezone(UTC).isoformat(timespec="milliseconds")


def _time(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)


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
        values[name] = _time(values[name])
    values["reasons"] = tuple(json.loads(values["reasons"]))
    values["alternatives"] = tuple(
        (words, score) for words, score in json.loads(values["alternatives"])
    )
    return Answer(**values)
