"""Answers as CSV (RFC 4180), safe to open in a spreadsheet."""

import csv
import io
from collections.abc import Iterable
from datetime import tzinfo

from sayit.store import Answer, Child

COLUMNS = (
    "child", "date", "time", "session", "step", "activity", "skill", "question", "asked", "form", "way", "purpose", "attempt",
    "heard", "built", "value", "heard_form", "verdict", "override", "counts_as", "reasons", "seconds_to_voice", "judged_by",
    "listener", "confidence",
)  # fmt: skip

_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a spreadsheet may take for a formula (OWASP, "CSV Injection"), wide forms too."""


def answers_csv(child: Child, answers: Iterable[Answer], zone: tzinfo | None) -> bytes:
    """All answers, a row each, oldest first, times in ``zone``; UTF-8 with a mark that spreadsheets know it by.

    Text that a spreadsheet would run as a formula gets an apostrophe in front.
    """
    text = io.StringIO(newline="")
    rows = csv.writer(text)
    rows.writerow(COLUMNS)
    for answer in answers:
        rows.writerow(cell(value) for value in _row(child, answer, zone))
    return text.getvalue().encode("utf-8-sig")


def cell(value: object) -> object:
    """A value as it may stand in a spreadsheet; numbers stay numbers, None is empty."""
    if isinstance(value, str) and value.lstrip(" \u00a0").startswith(_STARTS):
        return f"'{value}"
    return "" if value is None else value


def _row(child: Child, answer: Answer, zone: tzinfo | None) -> tuple[object, ...]:
    at = answer.judged_at.astimezone(zone)
    return (
        child.name, at.date().isoformat(), at.strftime("%H:%M:%S"), answer.session, answer.step, answer.activity, answer.skill,
        answer.question, answer.asked, answer.form, answer.way, answer.purpose, answer.attempt, answer.heard, answer.built,
        answer.value, answer.heard_form, answer.verdict, answer.override, answer.final or "set-aside",
        " ".join(answer.reasons), answer.response_seconds, answer.judged_by, answer.listener, answer.confidence,
    )  # fmt: skip
