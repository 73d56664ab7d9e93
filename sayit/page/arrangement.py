"""What holds for one child: where it is on the path, what is passed over, how quickly and how far, what is recorded."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sayit.errors import SayitError
from sayit.practice.learner import Learner
from sayit.practice.path import FURTHEST, Path, load_path
from sayit.practice.standing import standing
from sayit.store import Child, Record, delete_expired
from sayit.store.learning import learner_of
from sayit.store.record import LONGEST_AUDIO_DAYS

__all__ = ["PACES", "arrange", "arranged"]

PACES = (0.2, 5.0)
"""How far the time to answer can be shortened or stretched."""

_LOWEST = 10
_HOW = {
    "new": "not asked yet",
    "shaky": "not sure yet",
    "known": "known, not at once yet",
    "fluent": "at once",
}


def arranged(record: Record, child: Child, now: datetime) -> dict[str, Any]:
    """What holds for ``child`` as plain values; ``steps`` are those of its path, each with how it stands in words."""
    learner = learner_of(record, child)
    return {
        "child": child.name,
        "step": learner.step,
        "skipped": [slug for slug in learner.skipped if slug in learner.path.slugs],
        "pace": learner.pace,
        "limit": learner.path.limit,
        "audio_days": child.keep_audio_days,
        "answers": learner.answers,
        "steps": [
            {"slug": step.slug, "title": step.title, "place": step.place, "how": _HOW[step.status]}
            for step in standing(learner, now)
        ],
    }


def arrange(record: Record, child: Child, wanted: dict[str, Any], now: datetime) -> str:
    """Write what the parent arranged for ``child`` and tell it in a sentence.

    ``wanted`` may hold ``step``, ``skipped``, ``pace``, ``limit`` and ``audio_days``; what it leaves
    out stays. All of it is checked before anything is written: ``SayitError``, one line, otherwise.
    """
    learner = learner_of(record, child)
    limit = _limit(wanted.get("limit", learner.path.limit))
    path = load_path(limit)
    step = _step(path, str(wanted.get("step", learner.step)))
    skipped = _skipped(wanted.get("skipped", learner.skipped), path)
    pace = _pace(wanted.get("pace", learner.pace))
    days = _days(wanted.get("audio_days", child.keep_audio_days))
    if step in skipped:
        raise SayitError(f"{path[step].title} is where {child.name} goes on: take it out of the steps passed over.")

    if days != child.keep_audio_days:
        record.set_audio_days(child, days)
        delete_expired(record, now)
    own = load_path().limit
    if _changes(learner, step, skipped, pace, limit):
        record.place(child, step, at=now, limit=None if limit == own else limit, pace=pace, skipped=skipped)
    recorded = f" Recordings are kept for {days} {'day' if days == 1 else 'days'}." if days else ""
    return f"Kept: {child.name} goes on at “{path[step].title}” from the next sitting on.{recorded}"


def _changes(learner: Learner, step: str, skipped: tuple[str, ...], pace: float, limit: int) -> bool:
    return (step, skipped, pace, limit) != (learner.step, learner.skipped, learner.pace, learner.path.limit)


def _limit(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not _LOWEST <= value <= FURTHEST:
        raise SayitError(f"The largest number must be {_LOWEST} to {FURTHEST:,}.")
    return value


def _step(path: Path, slug: str) -> str:
    if slug not in path.slugs:
        titles = {step.slug: step.title for step in load_path(FURTHEST)}
        name = f"“{titles[slug]}”" if slug in titles else "This step"
        raise SayitError(f"{name} has no number up to {path.limit:,}: choose an earlier step or a larger number.")
    return slug


def _skipped(value: Any, path: Path) -> tuple[str, ...]:
    if not isinstance(value, list | tuple):
        raise SayitError("The page asked for something unknown: reload it.")
    return tuple(slug for slug in path.slugs if slug in value)


def _pace(value: Any) -> float:
    low, high = PACES
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise SayitError(f"The time to answer can be {low:g} to {high:g} times the path's own.")
    return float(value)


def _days(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= LONGEST_AUDIO_DAYS:
        raise SayitError(f"Recordings can be kept for 1 to {LONGEST_AUDIO_DAYS} days, or not at all.")
    return value
