"""Reading and writing the record."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from sayit import paths
from sayit.errors import SayitError
from sayit.practice.guide import check_correction
from sayit.store.checks import Gone, check_audio_days, check_counts_to, check_forms, check_month, name_key, tidy_name
from sayit.store.copies import drop_backups_named
from sayit.store.entries import Answer, Child, Placement, Session
from sayit.store.file import RecordFile
from sayit.store.folders import delete_parts, delete_recordings
from sayit.store.former import take_in
from sayit.store.opening import open_file, told
from sayit.store.rows import (
    ANSWER_FIELDS,
    INSERT_ANSWER,
    answer_of,
    answer_row,
    child_of,
    placement_of,
    session_of,
    stored,
    text_of,
)

__all__ = ["Record", "open_record"]


def open_record(path: Path | None = None, *, durable: bool = True) -> "Record":
    """Open the household's record, making it where there is none yet.

    ``durable`` False is for a throwaway record that a power cut may take.
    ``path`` defaults to ``sayit.paths.record()``. A file that is damaged, that a
    newer sayit wrote, or that is no record at all raises ``SayitError`` and is
    left exactly as it is.
    """
    path = path or paths.record()
    record = Record(path, open_file(path, durable=durable))
    take_in(record)
    return record


class Record(RecordFile):
    """The open record. Every method that changes something has committed when it returns."""

    def children(self) -> tuple[Child, ...]:
        """All children, in the order in which they were added."""
        return self.read(child_of, "SELECT * FROM child ORDER BY id")

    def child(self, name: str) -> Child | None:
        """The child of that name (capitals and spaces around it do not matter), or None."""
        key = name_key(name)
        # What no child can be called may hold signs that SQLite cannot take either.
        found = self.read(child_of, "SELECT * FROM child WHERE name_key = ?", (key,)) if key.isprintable() else ()
        return found[0] if found else None

    def add_child(self, name: str, *, at: datetime, birth_month: str | None = None) -> Child:
        """Add a child; ``SayitError`` for an empty, overlong or known name or a bad month."""
        tidy = tidy_name(name)
        check_month(birth_month)
        with self.change() as connection:
            if connection.execute("SELECT 1 FROM child WHERE name_key = ?", (name_key(tidy),)).fetchone():
                raise SayitError(f"{tidy} is in the record already: choose another name.")
            connection.execute(
                "INSERT INTO child (name, name_key, birth_month, created) VALUES (?, ?, ?, ?)",
                (tidy, name_key(tidy), birth_month, text_of(at)),
            )
        return self.read(child_of, "SELECT * FROM child WHERE name_key = ?", (name_key(tidy),))[0]

    def rename(self, child: Child, name: str) -> Child:
        """Call the child by another name; ``SayitError`` for an empty, overlong or known one."""
        tidy = tidy_name(name)
        with self.change() as connection:
            other = "SELECT 1 FROM child WHERE name_key = ? AND id <> ?"
            if connection.execute(other, (name_key(tidy), child.id)).fetchone():
                raise SayitError(f"{tidy} is in the record already: choose another name.")
            connection.execute("UPDATE child SET name = ?, name_key = ? WHERE id = ?", (tidy, name_key(tidy), child.id))
        return replace(child, name=tidy)

    def set_birth_month(self, child: Child, birth_month: str | None) -> Child:
        """Note the birth month ("2020-04"), or take it out with None; ``SayitError`` for a bad one."""
        check_month(birth_month)
        with self.change() as connection:
            connection.execute("UPDATE child SET birth_month = ? WHERE id = ?", (birth_month, child.id))
        return replace(child, birth_month=birth_month)

    def set_audio_days(self, child: Child, days: int) -> Child:
        """The parent's consent: recordings of this child are kept for ``days`` days; 0 turns them off."""
        check_audio_days(days)
        with self.change() as connection:
            connection.execute("UPDATE child SET keep_audio_days = ? WHERE id = ?", (days, child.id))
        return replace(child, keep_audio_days=days)

    def set_forms(self, child: Child, forms: tuple[str, ...]) -> Child:
        """The forms wanted from this child, "plain", "explicit" or both; ``SayitError`` for none or another."""
        known = check_forms(forms)
        with self.change() as connection:
            connection.execute("UPDATE child SET forms = ? WHERE id = ?", (stored(known), child.id))
        return replace(child, forms=known)

    def set_counts_to(self, child: Child, number: int | None) -> Child:
        """Note how far the child counts, about, or take it out with None; ``SayitError`` for what is no such number."""
        known = check_counts_to(number)
        with self.change() as connection:
            connection.execute("UPDATE child SET counts_to = ? WHERE id = ?", (known, child.id))
        return replace(child, counts_to=known)

    def settings(self) -> dict[str, object]:
        """What the household set, by name, as plain values; empty before anything was set."""
        return dict(self.read(lambda row: (row["name"], json.loads(row["value"])), "SELECT name, value FROM setting"))

    def keep_settings(self, values: Mapping[str, object]) -> None:
        """Keep settings by name, each a plain value; those not named stay."""
        with self.change() as connection:
            connection.executemany(
                "INSERT OR REPLACE INTO setting (name, value) VALUES (?, ?)",
                [(name, json.dumps(value)) for name, value in values.items()],
            )

    def forget(self, child: Child) -> int:
        """Delete a child with all that is known of it, sound files too; returns how many answers there were.

        What was deleted is overwritten in the file. Backups and exports made before
        still hold it (``sayit.store.copies.copies_with`` finds the backups).
        """
        drop_backups_named(self, child)
        # Files first: a kill in between leaves a child that can be forgotten again.
        with told(self.path):
            delete_recordings(self.path, child)
            delete_parts(self.path)
        with self.change() as connection:
            count: int = connection.execute("SELECT count(*) FROM answer WHERE child = ?", (child.id,)).fetchone()[0]
            connection.execute("DELETE FROM child WHERE id = ?", (child.id,))
        # The write-ahead log holds copies of what was there before.
        if self.rows("PRAGMA wal_checkpoint(TRUNCATE)")[0][0]:
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
        with self.change() as connection:
            connection.execute(
                "INSERT INTO placement (child, at, step, number_limit, pace, skipped) VALUES (?, ?, ?, ?, ?, ?)",
                (child.id, text_of(at), step, limit, pace, stored(skipped)),
            )
            # A learner kept from later answers does not know of a place that holds from before them.
            connection.execute(
                "DELETE FROM learner WHERE child = ?1 AND answer >= "
                "(SELECT min(id) FROM answer WHERE child = ?1 AND judged_at >= ?2)",
                (child.id, text_of(at)),
            )
        return placement

    def placements(self, child: Child) -> tuple[Placement, ...]:
        """All placements of a child, oldest first."""
        return self.read(placement_of, "SELECT * FROM placement WHERE child = ? ORDER BY id", (child.id,))

    def start_session(
        self, child: Child, *, at: datetime, source: str, seed: int | None, aim: str | None = None
    ) -> Session:
        """Begin a sitting of one child; ``aim`` is the skill it is for."""
        with self.change() as connection:
            row = connection.execute(
                "INSERT INTO session (child, started, source, seed, aim) VALUES (?, ?, ?, ?, ?)",
                (child.id, text_of(at), source, seed, aim),
            )
        return Session(id=row.lastrowid or 0, child=child.id, started=at, source=source, seed=seed, aim=aim)

    def end_session(self, session: Session, *, at: datetime, aim_met: str | None = None) -> Session:
        """Note that a sitting came to its end (one that was killed has none), and whether its aim was met."""
        with self.change() as connection:
            connection.execute(
                "UPDATE session SET ended = ?, aim_met = ? WHERE id = ? AND child = ?",
                (text_of(at), aim_met, session.id, session.child),
            )
        return replace(session, ended=at, aim_met=aim_met)

    def sessions(self, child: Child | None = None) -> tuple[Session, ...]:
        """All sittings, or those of one child, oldest first."""
        where, values = ("WHERE child = ?", (child.id,)) if child else ("", ())
        return self.read(session_of, f"SELECT * FROM session {where} ORDER BY id", values)

    def keep(self, answer: Answer) -> Answer:
        """Write a judged answer; it is on disk when this returns, with its ``id``.

        ``Gone`` where the sitting or its child has been deleted; then nothing is written.
        """
        values = answer_row(answer)
        with self.change() as connection:
            belongs = connection.execute(
                "SELECT 1 FROM session WHERE id = ? AND child = ?", (answer.session, answer.child)
            )
            if not belongs.fetchone():
                name = connection.execute("SELECT name FROM child WHERE id = ?", (answer.child,)).fetchone()
                raise Gone(
                    f"The sitting of {name[0]} was taken out of the record while it went on: begin a new one."
                    if name
                    else "The child was deleted from the record while the sitting went on: the sitting is over."
                )
            row = connection.execute(INSERT_ANSWER, values)
        return replace(answer, id=row.lastrowid)

    def keep_all(self, answers: Iterable[Answer]) -> int:
        """Write many answers at once, all or none of them; returns how many."""
        rows = [answer_row(answer) for answer in answers]
        with self.change() as connection:
            connection.executemany(INSERT_ANSWER, rows)
        return len(rows)

    def override(self, answer: Answer, verdict: str | None, *, at: datetime) -> Answer:
        """Set the parent's correction beside the original verdict; None takes it back."""
        if verdict is not None:
            check_correction(verdict)
        when = None if verdict is None else at
        with self.change() as connection:
            found = connection.execute(
                "UPDATE answer SET override = ?, overridden_at = ? WHERE id = ? AND child = ?",
                (verdict, stored(when), answer.id, answer.child),
            )
            if not found.rowcount:
                raise Gone("The answer was deleted from the record meanwhile: there is nothing to correct.")
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
        wanted = {
            "child = ?": child.id if child else None,
            "session = ?": session.id if session else None,
            "judged_at >= ?": stored(since),
        }
        conditions = [condition for condition, value in wanted.items() if value is not None]
        values = [value for value in wanted.values() if value is not None]
        where = f"WHERE {' AND '.join(conditions)}" if conditions else ""
        return self.read(
            answer_of,
            f"SELECT {', '.join(ANSWER_FIELDS)} FROM answer {where} ORDER BY id DESC LIMIT ?",
            (*values, -1 if limit is None else limit),
        )[::-1]

    def answer(self, number: int) -> Answer | None:
        """The answer of that number (``Answer.id``), or None."""
        found = self.read(answer_of, f"SELECT {', '.join(ANSWER_FIELDS)} FROM answer WHERE id = ?", (number,))
        return found[0] if found else None

    def count_answers(self, child: Child) -> int:
        """How many answers a child has given."""
        return int(self.rows("SELECT count(*) FROM answer WHERE child = ?", (child.id,))[0][0])
