"""What holds for one child, as the desk shows it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sayit.practice.standing import standing
from sayit.store import Child, Record
from sayit.store.arrangement import Arrangement
from sayit.store.learning import learner_of

__all__ = ["arranged", "kept"]

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


def kept(child: Child, found: Arrangement) -> str:
    """What the parent just arranged, in a sentence."""
    days = found.audio_days
    recorded = f" Recordings are kept for {days} {'day' if days == 1 else 'days'}." if days else ""
    return f"Kept: {child.name} goes on at “{found.path[found.step].title}” from the next sitting on.{recorded}"
