"""Between the record's rows and its entries."""

import json
import sqlite3
from dataclasses import fields
from datetime import UTC, datetime
from typing import Any

from sayit.numbers import FORMS, HIGHEST
from sayit.practice.guide import CORRECTIONS
from sayit.store.checks import check_audio_days, check_counts_to, check_forms, check_month
from sayit.store.entries import VERDICTS, Answer, Child, Placement, Session

ANSWER_FIELDS = tuple(field.name for field in fields(Answer))
_WAYS = ("spoken", "digits", "choice")
_ASKED = (*FORMS, "any", "digits")
_YEARS = (1969, 3000)
_LONGEST_SECONDS = 86_400.0
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
    """A stored list of texts."""
    # Most answers have none, and a report reads thousands.
    if text == "[]":
        return ()
    found = json.loads(text)
    if not isinstance(found, list):
        raise TypeError(f"{text!r} is no list")
    return tuple(found)


def child_of(row: sqlite3.Row) -> Child:
    """A child's row; like all here it raises ValueError, TypeError or SayitError for what cannot have been written."""
    if not row["name"].isprintable():
        raise ValueError(f"{row['name']!r} is no name")
    check_month(row["birth_month"])
    check_audio_days(row["keep_audio_days"])
    return Child(
        id=row["id"],
        name=row["name"],
        birth_month=row["birth_month"],
        created=moment(row["created"]),
        keep_audio_days=row["keep_audio_days"],
        forms=check_forms(listed(row["forms"])),
        counts_to=check_counts_to(row["counts_to"]),
    )


def session_of(row: sqlite3.Row) -> Session:
    """A sitting's row."""
    return Session(
        id=row["id"],
        child=row["child"],
        started=moment(row["started"]),
        source=row["source"],
        seed=row["seed"],
        ended=moment(row["ended"]) if row["ended"] else None,
        aim=row["aim"],
        aim_met=row["aim_met"],
    )


def placement_of(row: sqlite3.Row) -> Placement:
    """A placement's row."""
    return Placement(
        at=moment(row["at"]),
        step=row["step"],
        limit=row["number_limit"],
        pace=row["pace"],
        skipped=listed(row["skipped"]),
    )


def answer_of(row: sqlite3.Row) -> Answer:
    """An answer's row."""
    values = dict(row)
    values["judged_at"], values["asked_at"] = moment(row["judged_at"]), moment(row["asked_at"])
    values["overridden_at"] = moment(row["overridden_at"]) if row["overridden_at"] else None
    values["reasons"] = reasons_of(row)
    values["alternatives"] = tuple((words, score) for words, score in listed(row["alternatives"]))
    check_judged(row)
    if row["way"] not in _WAYS or row["form"] not in _ASKED or not 0 <= row["asked"] <= HIGHEST:
        raise ValueError(f"{row['way']!r}, {row['form']!r}, {row['asked']} cannot be asked")
    return Answer(**values)


def check_judged(row: sqlite3.Row) -> None:
    """ValueError for an answer's row with a judgement that there is not."""
    if row["verdict"] not in VERDICTS or row["override"] not in (None, *CORRECTIONS):
        raise ValueError(f"{row['verdict']!r}, {row['override']!r} is no judgement")
    seconds = row["response_seconds"]
    if seconds is not None and not abs(seconds) < _LONGEST_SECONDS:
        raise ValueError(f"{seconds} seconds are no response time")


def reasons_of(row: sqlite3.Row) -> tuple[str, ...]:
    """The reasons of an answer's row, as texts."""
    reasons = listed(row["reasons"])
    if not all(isinstance(one, str) for one in reasons):
        raise ValueError(f"{row['reasons']!r} are no reasons")
    return reasons


def moment(text: str) -> datetime:
    """A moment as ``text_of`` stored it; ValueError for another text.

    A machine that lost its time may say 1970; nothing that ran this program was ever in the year 3000.
    """
    at = datetime.fromisoformat(text)
    if at.tzinfo is None or not _YEARS[0] <= at.year < _YEARS[1]:
        raise ValueError(f"{text!r} is no moment")
    return at
