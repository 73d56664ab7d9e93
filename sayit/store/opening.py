"""Opening the record's file: made private, checked, and every complaint of SQLite or the disk as one line."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from sayit.errors import SayitError
from sayit.store.checks import Gone
from sayit.store.migrations import APPLICATION_ID, MIGRATIONS, migrate, version

BUSY_SECONDS = 10.0
"""How long one program waits while another one writes."""


def open_file(path: Path, *, durable: bool) -> sqlite3.Connection:
    """The open file, made where there is none yet and brought up to date; see ``sayit.store.open_record``."""
    with told(path):
        _make_private(path)
        check(path)
        connection = connect(path, "rw")
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute(f"PRAGMA synchronous = {'FULL' if durable else 'OFF'}")
            # What is deleted is overwritten: `forget` means it.
            connection.execute("PRAGMA secure_delete = ON")
            connection.execute("PRAGMA foreign_keys = OFF")
            migrate(connection)
            connection.execute("PRAGMA foreign_keys = ON")
        except BaseException:
            connection.close()
            raise
    return connection


def connect(path: Path, mode: str) -> sqlite3.Connection:
    """A connection in autocommit mode; ``mode`` is "ro" or "rw"."""
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


def check(path: Path) -> None:
    """``SayitError`` or sqlite3.DatabaseError for a file that is no whole record of this program; it stays as it is."""
    # A read-only connection, because closing one that may write moves the
    # write-ahead log into the file, and a file we refuse must stay as it is.
    # Only a half-made rollback journal needs a writer before it can be read.
    journal = path.with_name(f"{path.name}-journal")
    mode = "rw" if journal.exists() and journal.stat().st_size else "ro"
    with closing(connect(path, mode)) as connection:
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
def told(path: Path) -> Iterator[None]:
    """Turn what SQLite and the disk complain about into one line with the next step."""
    try:
        yield
    except sqlite3.IntegrityError as error:
        if getattr(error, "sqlite_errorname", "") == "SQLITE_CONSTRAINT_FOREIGNKEY":
            raise Gone("The child was deleted from the record meanwhile: nothing was changed.") from error
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
