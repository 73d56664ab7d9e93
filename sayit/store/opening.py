"""Opening the record's file: made private, checked, and every complaint of SQLite or the disk as one line."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from secrets import token_hex

from sayit.errors import SayitError
from sayit.store.checks import Busy, Gone
from sayit.store.migrations import APPLICATION_ID, MIGRATIONS, migrate, version

BUSY_SECONDS = 10.0
"""How long one program waits while another one writes."""

_SMALLEST = 512
"""No SQLite file has fewer bytes (sqlite.org, "Database File Format": one page of 512)."""


def open_file(path: Path, *, durable: bool) -> sqlite3.Connection:
    """The open file, made where there is none yet and brought up to date; see ``sayit.store.open_record``."""
    with told(path):
        _begin(path, durable=durable)
        check(path)
        connection = connect(path, "rw")
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            _synchronous(connection, durable=durable)
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


def _synchronous(connection: sqlite3.Connection, *, durable: bool) -> None:
    connection.execute(f"PRAGMA synchronous = {'FULL' if durable else 'OFF'}")


def make_private(path: Path) -> None:
    """Make an empty file that nobody else on the machine can read: what a child said is personal data."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def _begin(path: Path, *, durable: bool) -> None:
    """Make a record where there is none.

    It gets its name only when it is whole, so that a file without content is always a damaged record.
    """
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    if os.path.lexists(path):
        return
    logs = [path.with_name(path.name + ending) for ending in ("-wal", "-journal")]
    # Another program may have made the record since it was looked for.
    if any(log.exists() and log.stat().st_size for log in logs) and not os.path.lexists(path):
        raise sqlite3.DatabaseError("it is gone, but what was last written to it still lies beside")
    new = path.with_name(f".{path.name}.{token_hex(4)}.new")
    try:
        make_private(new)
        with closing(connect(new, "rw")) as connection:
            _synchronous(connection, durable=durable)
            migrate(connection)
        with suppress(FileExistsError):
            _give_name(new, path)
    finally:
        new.unlink(missing_ok=True)


def _give_name(new: Path, path: Path) -> None:
    """Let the file have that name; FileExistsError where another program was quicker."""
    try:
        os.link(new, path)
    except FileExistsError:
        raise
    except OSError:
        # Some file systems of sticks and cards know no second name for a file.
        if not os.path.lexists(path):
            new.rename(path)


def check(path: Path) -> None:
    """``SayitError`` or sqlite3.DatabaseError for a file that is no whole record of this program; it stays as it is."""
    if not path.is_file():
        raise SayitError(
            f"{path} is a folder, a pipe or a device, no record: move it away, or set SAYIT_HOME to another folder."
        )
    # SQLite takes an empty file for an empty database, and deletes the log beside it.
    if (size := path.stat().st_size) < _SMALLEST:
        raise sqlite3.DatabaseError(f"it has {size} bytes")
    # A read-only connection, because closing one that may write moves the
    # write-ahead log into the file, and a file we refuse must stay as it is.
    # Only a half-made rollback journal needs a writer before it can be read.
    journal = path.with_name(f"{path.name}-journal")
    mode = "rw" if journal.exists() and journal.stat().st_size else "ro"
    with closing(connect(path, mode)) as connection:
        marked = connection.execute("PRAGMA application_id").fetchone()[0]
        tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if not (marked or tables or version(connection)):
            raise sqlite3.DatabaseError("nothing is in it")
        if marked != APPLICATION_ID:
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
        # A page that came to the place of another is whole, and yet not what was there.
        if connection.execute("PRAGMA foreign_key_check").fetchone():
            raise sqlite3.DatabaseError("entries are left of a child or a sitting that is not in it")


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what SQLite and the disk complain about into one line with the next step."""
    try:
        yield
    except sqlite3.IntegrityError as error:
        if getattr(error, "sqlite_errorname", "") == "SQLITE_CONSTRAINT_FOREIGNKEY":
            raise Gone("The child was deleted from the record meanwhile: nothing was changed.") from error
        raise SayitError(_advice(path, "SQLITE_CORRUPT", str(error))) from error
    except sqlite3.DatabaseError as error:
        name = getattr(error, "sqlite_errorname", None) or "SQLITE_CORRUPT"
        if isinstance(error, sqlite3.ProgrammingError):
            raise
        busy = name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED"))
        raise (Busy if busy else SayitError)(_advice(path, name, str(error))) from error
    except UnicodeDecodeError as error:
        # SQLite names what it cannot read, and Python cannot read that name.
        raise SayitError(_advice(path, "SQLITE_CORRUPT", "its tables cannot be read")) from error
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
