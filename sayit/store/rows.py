"""Between the record's rows and its entries."""

import json
import sqlite3
from dataclasses import fields
from datetime import UTC, datetime
from typing import Any

from sayit.store.entries import VERDICTS, Answer, Child, Placement, Session

ANSWER_FIELDS = tuple(field.name for field in fields(Answer))
_INSERTED = tuple(name for name in ANSWER_FIELDS if name != "id")
INSERT_ANSWER = f"INSERT INTO answer ({', '.join(_INSERTED)}) VALUES ({', '.join('?' * len(_INSERTED))})"


def answer_row(answer: Answer) -> list[object]:
    """The values of ``INSERT_ANSWER``; ValueError for a verdict that there is not."""
    if answer.verdict not in VERDICTS:
        raise ValueError(f"{answer.verdict!r} is none of {VERDICTS}")
    return [stored(getattr(answer, name)) for name in _INSERTED]


def text_of(at: datetime) -> str:
    """A moment as it is stored: one zone and a fixed width, so that text order is time order."""
    return at.astimezone(UTC).isoformat(timespec="milliseconds")


def stored(value: object) -> object:
    """A value as it is stored."""
    if isinstance(value, datetime):
        return text_of(value)
    if isinstance(value, tuple):
        return json.dumps(value, ensure_ascii=False)
    return value


def listed(text: str) -> tuple[Any, ...]:
    """A stored list."""
    # Most answers have none, and a report reads thousands.
    return () if text == "[]" else tuple(json.loads(text))


def child_of(row: sqlite3.Row) -> Child:
    """A child's row."""
    return Child(
        id=row["id"],
        name=row["name"],
        birth_month=row["birth_month"],
        created=datetime.fromisoformat(row["created"]),
        keep_audio_days=row["keep_audio_days"],
        forms=listed(row["forms"]),
    )


def session_of(row: sqlite3.Row) -> Session:
    """A sitting's row."""
    return Session(
        id=row["id"],
        child=row["child"],
        started=datetime.fromisoformat(row["started"]),
        source=row["source"],
        seed=row["seed"],
        ended=_time(row["ended"]),
        aim=row["aim"],
        aim_met=row["aim_met"],
    )


def placement_of(row: sqlite3.Row) -> Placement:
    """A placement's row."""
    return Placement(
        at=datetime.fromisoformat(row["at"]),
        step=row["step"],
        limit=row["number_limit"],
        pace=row["pace"],
        skipped=listed(row["skipped"]),
    )


def answer_of(row: sqlite3.Row) -> Answer:
    """An answer's row."""
    values = dict(row)
    for name in ("asked_at", "judged_at", "overridden_at"):
        values[name] = _time(values[name])
    values["reasons"] = listed(values["reasons"])
    values["alternatives"] = tuple((words, score) for words, score in listed(values["alternatives"]))
    return Answer(**values)


def _time(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)
