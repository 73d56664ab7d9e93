"""From the record to the learner: where a child stands after all that was answered."""

import json
import sqlite3
import zlib
from datetime import datetime
from typing import Any

from sayit.errors import SayitError
from sayit.practice.folding import fold
from sayit.practice.learner import Learner, Past, past_of
from sayit.practice.path import load_path
from sayit.practice.placing import settle
from sayit.store.ahead import not_ahead
from sayit.store.entries import Answer, Child, Placement
from sayit.store.record import Record
from sayit.store.rows import check_judged, moment, reasons_of

_WORTH_KEEPING = 100
"""So many new answers make it worth keeping the learner again."""


def past(answer: Answer) -> Past | None:
    """An answer as the learner takes it in; None where a parent set it aside."""
    return past_of(
        answer.judged_at,
        answer.question,
        answer.verdict,
        answer.override,
        answer.reasons,
        answer.response_seconds,
    )


def learner_of(record: Record, child: Child, *, keep: bool = True, now: datetime | None = None) -> Learner:
    """The child's learner after every answer and placement in the record.

    A learner kept before is gone on from; with ``keep`` it is kept again where many
    answers are new. A child without a placement starts at the path's first step.
    All is seen in the forms that are wanted now.
    Answers to questions outside the path do not count. What is dated after ``now`` (where that is given) was dated by a
    wrong clock, and counts as given before what came next: it must not keep an item away for years.
    """
    placements = record.placements(child)
    learner, answer, placed = _kept(record, child, now) or (None, 0, 0)
    if learner is None:
        learner = Learner(step=load_path().slugs[0])
        answer = placed = 0
    learner.forms = tuple(child.forms)
    waiting = list(placements[placed:])
    count = 0
    rows = _pasts(record, child, answer)
    moments = [row[1] for row in rows]
    at = not_ahead(moments, now) if now else moments
    for row, given in zip(rows, at, strict=True):
        while waiting and waiting[0].at <= row[1]:
            _settle(learner, waiting.pop(0))
        answer, count = row[0], count + 1
        if one := past_of(given, *row[2:]):
            try:
                fold(learner, one)
            except (SayitError, ValueError):
                continue
    # What is not past yet at the last answer holds from the next one on.
    for placement in waiting:
        _settle(learner, placement)
    if keep and count >= _WORTH_KEEPING and at == moments:
        keep_learner_state(record, child, learner.to_dict(), answer, len(placements))
    return learner


def _settle(learner: Learner, placement: Placement) -> None:
    settle(learner, placement.step, placement.limit, placement.pace, placement.skipped)


def _kept(record: Record, child: Child, now: datetime | None) -> tuple[Learner, int, int] | None:
    found = learner_state(record, child)
    if not found:
        return None
    state, answer, placed = found
    try:
        if state["version"] != Learner(step=state["step"]).to_dict()["version"]:
            return None
        learner = Learner.from_dict(state)
        return None if now and learner.last > now.timestamp() else (learner, answer, placed)
    except (KeyError, TypeError, ValueError):
        return None


def learner_state(record: Record, child: Child) -> tuple[dict[str, Any], int, int] | None:
    """A child's learner as it was kept: its state, the last answer and the number of placements in it.

    None where it is not as it was written: it can be made again from the answers.
    """
    rows = record.rows("SELECT state, answer, placement FROM learner WHERE child = ?", (child.id,))
    if not rows:
        return None
    answer, placement = rows[0]["answer"], rows[0]["placement"]
    try:
        kept = json.loads(rows[0]["state"])
        state: dict[str, Any] = kept["state"]
        whole = kept["sum"] == _sum(child, state, answer, placement)
    except (ValueError, TypeError, KeyError, RecursionError):
        return None
    return (state, answer, placement) if whole else None


def _sum(child: Child, state: dict[str, Any], answer: int, placement: int) -> int:
    return zlib.crc32(json.dumps([child.id, state, answer, placement]).encode())


def keep_learner_state(record: Record, child: Child, state: dict[str, Any], answer: int, placement: int) -> None:
    """Keep a child's learner, so that it need not be built from all answers again."""
    with record.change() as connection:
        connection.execute(
            "INSERT OR REPLACE INTO learner (child, state, answer, placement) VALUES (?, ?, ?, ?)",
            (child.id, json.dumps({"state": state, "sum": _sum(child, state, answer, placement)}), answer, placement),
        )


def _pasts(record: Record, child: Child, after: int = 0) -> tuple[tuple[Any, ...], ...]:
    """What a learner needs of the answers past ``after``, oldest first.

    Each is (id, judged_at, question, verdict, override, reasons, response_seconds); far
    quicker to read than whole answers.
    """
    # The plus keeps SQLite from walking all answers of the child to find the last few.
    return record.read(
        _past_of,
        "SELECT id, judged_at, question, verdict, override, reasons, response_seconds FROM answer "
        "WHERE +child = ? AND id > ? ORDER BY id",
        (child.id, after),
    )


def _past_of(row: sqlite3.Row) -> tuple[Any, ...]:
    check_judged(row)
    return (row[0], moment(row[1]), row[2], row[3], row[4], reasons_of(row), row[6])
