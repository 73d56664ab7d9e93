"""The steps by which the record's tables came to be what they are.

A step, once released, is never edited: a change is a new step at the end. The
number of steps a file has been through is its ``user_version``.
"""

import sqlite3
from contextlib import closing

APPLICATION_ID = 0x53415931
"""Marks a SQLite file as a record of this program (the bytes "SAY1")."""

MIGRATIONS: tuple[tuple[str, ...], ...] = (
    (
        """
        CREATE TABLE child (
            id INTEGER PRIMARY KEY,
            name TEXT NOT NULL CHECK (name <> ''),
            name_key TEXT NOT NULL UNIQUE,
            birth_month TEXT CHECK (birth_month GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]'),
            keep_audio_days INTEGER NOT NULL DEFAULT 0 CHECK (keep_audio_days >= 0),
            created TEXT NOT NULL
        ) STRICT
        """,
        """
        CREATE TABLE session (
            id INTEGER PRIMARY KEY,
            child INTEGER NOT NULL REFERENCES child (id) ON DELETE CASCADE,
            started TEXT NOT NULL,
            ended TEXT,
            source TEXT NOT NULL,
            seed INTEGER
        ) STRICT
        """,
        """
        CREATE TABLE answer (
            id INTEGER PRIMARY KEY,
            session INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
            child INTEGER NOT NULL REFERENCES child (id) ON DELETE CASCADE,
            question TEXT NOT NULL,
            step TEXT NOT NULL,
            activity TEXT NOT NULL,
            purpose TEXT NOT NULL,
            way TEXT NOT NULL,
            asked INTEGER NOT NULL,
            form TEXT NOT NULL,
            prompt TEXT NOT NULL,
            attempt INTEGER NOT NULL,
            heard TEXT NOT NULL,
            built TEXT,
            value INTEGER,
            heard_form TEXT NOT NULL,
            verdict TEXT NOT NULL,
            reasons TEXT NOT NULL CHECK (json_valid(reasons)),
            judged_by TEXT NOT NULL CHECK (judged_by IN ('listener', 'parent')),
            override TEXT CHECK (override IN ('right', 'wrong', 'again', 'skip')),
            overridden_at TEXT,
            confidence REAL,
            alternatives TEXT NOT NULL CHECK (json_valid(alternatives)),
            listener TEXT,
            asked_at TEXT NOT NULL,
            voice_after REAL,
            audio_seconds REAL,
            work_seconds REAL,
            judged_at TEXT NOT NULL,
            recording TEXT
        ) STRICT
        """,
        "CREATE INDEX session_by_child ON session (child, started)",
        "CREATE INDEX answer_by_child ON answer (child, judged_at)",
        "CREATE INDEX answer_by_session ON answer (session)",
    ),
    (
        "ALTER TABLE session ADD COLUMN aim TEXT",
        "ALTER TABLE session ADD COLUMN aim_met TEXT",
        """
        CREATE TABLE placement (
            id INTEGER PRIMARY KEY,
            child INTEGER NOT NULL REFERENCES child (id) ON DELETE CASCADE,
            at TEXT NOT NULL,
            step TEXT NOT NULL,
            number_limit INTEGER,
            pace REAL NOT NULL CHECK (pace > 0),
            skipped TEXT NOT NULL CHECK (json_valid(skipped))
        ) STRICT
        """,
        """
        CREATE TABLE learner (
            child INTEGER PRIMARY KEY REFERENCES child (id) ON DELETE CASCADE,
            state TEXT NOT NULL CHECK (json_valid(state)),
            answer INTEGER NOT NULL,
            placement INTEGER NOT NULL
        ) STRICT
        """,
        "CREATE INDEX placement_by_child ON placement (child, at)",
        "CREATE INDEX answer_with_recording ON answer (child, judged_at) WHERE recording IS NOT NULL",
    ),
    (
        "ALTER TABLE answer RENAME COLUMN voice_after TO response_seconds",
        """
        ALTER TABLE child ADD COLUMN
            forms TEXT NOT NULL DEFAULT '["plain", "explicit"]' CHECK (json_valid(forms))
        """,
        """
        CREATE TABLE setting (
            name TEXT PRIMARY KEY,
            value TEXT NOT NULL CHECK (json_valid(value))
        ) STRICT, WITHOUT ROWID
        """,
    ),
    (
        # Numbers never return: whoever still holds one of a deleted row must not find another row under it.
        """
        CREATE TABLE new_child (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            name TEXT NOT NULL CHECK (name <> ''),
            name_key TEXT NOT NULL UNIQUE,
            birth_month TEXT CHECK (birth_month GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]'),
            keep_audio_days INTEGER NOT NULL DEFAULT 0 CHECK (keep_audio_days >= 0),
            created TEXT NOT NULL,
            forms TEXT NOT NULL DEFAULT '["plain", "explicit"]' CHECK (json_valid(forms))
        ) STRICT
        """,
        "INSERT INTO new_child SELECT * FROM child",
        "DROP TABLE child",
        "ALTER TABLE new_child RENAME TO child",
        """
        CREATE TABLE new_session (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            child INTEGER NOT NULL REFERENCES child (id) ON DELETE CASCADE,
            started TEXT NOT NULL,
            ended TEXT,
            source TEXT NOT NULL,
            seed INTEGER,
            aim TEXT,
            aim_met TEXT
        ) STRICT
        """,
        "INSERT INTO new_session SELECT * FROM session",
        "DROP TABLE session",
        "ALTER TABLE new_session RENAME TO session",
        """
        CREATE TABLE new_answer (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            session INTEGER NOT NULL REFERENCES session (id) ON DELETE CASCADE,
            child INTEGER NOT NULL REFERENCES child (id) ON DELETE CASCADE,
            question TEXT NOT NULL,
            step TEXT NOT NULL,
            activity TEXT NOT NULL,
            purpose TEXT NOT NULL,
            way TEXT NOT NULL,
            asked INTEGER NOT NULL,
            form TEXT NOT NULL,
            prompt TEXT NOT NULL,
            attempt INTEGER NOT NULL,
            heard TEXT NOT NULL,
            built TEXT,
            value INTEGER,
            heard_form TEXT NOT NULL,
            verdict TEXT NOT NULL,
            reasons TEXT NOT NULL CHECK (json_valid(reasons)),
            judged_by TEXT NOT NULL CHECK (judged_by IN ('listener', 'parent')),
            override TEXT CHECK (override IN ('right', 'wrong', 'again', 'skip')),
            overridden_at TEXT,
            confidence REAL,
            alternatives TEXT NOT NULL CHECK (json_valid(alternatives)),
            listener TEXT,
            asked_at TEXT NOT NULL,
            response_seconds REAL,
            audio_seconds REAL,
            work_seconds REAL,
            judged_at TEXT NOT NULL,
            recording TEXT
        ) STRICT
        """,
        "INSERT INTO new_answer SELECT * FROM answer",
        "DROP TABLE answer",
        "ALTER TABLE new_answer RENAME TO answer",
        "CREATE INDEX session_by_child ON session (child, started)",
        "CREATE INDEX answer_by_child ON answer (child, judged_at)",
        "CREATE INDEX answer_by_session ON answer (session)",
        "CREATE INDEX answer_with_recording ON answer (child, judged_at) WHERE recording IS NOT NULL",
    ),
    ("ALTER TABLE child ADD COLUMN counts_to INTEGER CHECK (counts_to > 0)",),
)


def version(connection: sqlite3.Connection) -> int:
    """How many steps the open file has been through."""
    steps: int = connection.execute("PRAGMA user_version").fetchone()[0]
    return steps


def refuse_foreign(connection: sqlite3.Connection) -> None:
    """sqlite3.DatabaseError for an open file that has another table, column, index, trigger or view than its steps made.

    A trigger would run at every answer, unseen.
    """
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as own:
        migrate(own, MIGRATIONS[: version(connection)])
        strange = _schema(connection) ^ _schema(own)
    if strange:
        kind, name, _ = min(strange)
        raise sqlite3.DatabaseError(f"the {kind} {name} is not as this program makes it")


def _schema(connection: sqlite3.Connection) -> set[tuple[str, str, str]]:
    """Kind, name and wording of all that is in a database; spaces and quotes are of no account."""
    rows = connection.execute(
        "SELECT type, name, coalesce(sql, '') FROM sqlite_master WHERE name NOT LIKE 'sqlite_stat%'"
    )
    return {(kind, name, "".join(sql.replace('"', "").split())) for kind, name, sql in rows}


def migrate(connection: sqlite3.Connection, migrations: tuple[tuple[str, ...], ...] = MIGRATIONS) -> int:
    """Bring the open file up to date and return its version.

    ``connection`` is in autocommit mode, with foreign keys off: tables are built anew. All missing steps happen in one
    transaction, so that a kill or a full disk leaves the file as it was; a
    second program that opens the file meanwhile waits and finds nothing to do.
    """
    if version(connection) >= len(migrations):
        return version(connection)
    connection.execute("BEGIN IMMEDIATE")
    try:
        for step in migrations[version(connection) :]:
            for statement in step:
                connection.execute(statement)
        if version(connection) < len(migrations):
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {len(migrations)}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
    return version(connection)
