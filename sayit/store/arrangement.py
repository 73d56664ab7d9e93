"""The one home of a child's settings: where it goes on, what is passed over, how quickly and how far, which forms, what is recorded, how far it counts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sayit.errors import SayitError
from sayit.numbers import HIGHEST
from sayit.practice.learner import Learner
from sayit.practice.path import Path, load_path
from sayit.store.checks import check_audio_days, check_counts_to, check_forms
from sayit.store.entries import Child
from sayit.store.folders import delete_recordings
from sayit.store.learning import learner_of
from sayit.store.opening import told
from sayit.store.record import Record
from sayit.store.sounds import delete_expired

__all__ = ["Arrangement", "arrange", "arrangement_of", "checked"]

_PACES = (0.2, 5.0)
"""How far the time to answer can be shortened or stretched."""

_LOWEST = 10


@dataclass(frozen=True, slots=True)
class Arrangement:
    """``skipped`` are steps passed over, in the path's order; ``pace`` stretches the time to answer.

    ``limit`` is the largest number asked, ``forms`` are those wanted; recordings are kept for ``audio_days``, 0 for none.
    The child counts to about ``counts_to``: there the search for its place begins; None where nobody said.
    """

    step: str
    skipped: tuple[str, ...]
    pace: float
    limit: int
    forms: tuple[str, ...]
    audio_days: int
    counts_to: int | None

    @property
    def path(self) -> Path:
        """The path up to the largest number asked."""
        return load_path(self.limit)


def checked(child: Child, learner: Learner, wanted: dict[str, Any]) -> Arrangement:
    """What holds for ``child`` after ``wanted``: ``SayitError``, one line, where it makes no sense.

    ``wanted`` may hold ``step``, ``skipped``, ``pace``, ``limit``, ``forms``, ``audio_days`` and ``counts_to``; what it leaves out stays.
    """
    limit = _limit(wanted.get("limit", learner.path.limit))
    path = load_path(limit)
    step = _step(path, str(wanted.get("step", learner.step)))
    over = _steps(wanted["skipped"]) if "skipped" in wanted else set(learner.skipped)
    skipped = tuple(slug for slug in path.slugs if slug in over)
    pace = _pace(wanted.get("pace", learner.pace))
    days = wanted.get("audio_days", child.keep_audio_days)
    check_audio_days(days)
    forms = check_forms(wanted.get("forms", child.forms))
    counts_to = check_counts_to(wanted.get("counts_to", child.counts_to))
    if step in skipped:
        raise SayitError(f"{path[step].title} is where {child.name} goes on: take it out of the steps passed over.")
    return Arrangement(step, skipped, pace, limit, forms, days, counts_to)


def arrangement_of(record: Record, child: Child) -> Arrangement:
    """What holds for ``child`` now."""
    return checked(child, learner_of(record, child), {})


def arrange(record: Record, child: Child, wanted: dict[str, Any], now: datetime) -> Arrangement:
    """Write what the parent arranged for ``child``; all of it is checked before anything is written."""
    learner = learner_of(record, child, now=now)
    found = checked(child, learner, wanted)
    if found.forms != child.forms:
        record.set_forms(child, found.forms)
    if found.counts_to != child.counts_to:
        record.set_counts_to(child, found.counts_to)
    if found.audio_days != child.keep_audio_days:
        record.set_audio_days(child, found.audio_days)
        if not found.audio_days:
            # All of them, also what a record put aside by a restore still names.
            with told(record.path):
                delete_recordings(record.path, child)
        delete_expired(record, now)
    if (found.step, found.skipped, found.pace, found.limit) != (
        learner.step,
        learner.skipped,
        learner.pace,
        learner.path.limit,
    ):
        limit = None if found.limit == load_path().limit else found.limit
        record.place(child, found.step, at=now, limit=limit, pace=found.pace, skipped=found.skipped)
    return found


def _limit(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not _LOWEST <= value <= HIGHEST:
        raise SayitError(f"The largest number must be {_LOWEST} to {HIGHEST:,}.")
    return value


def _step(path: Path, slug: str) -> str:
    if slug not in path.slugs:
        title = load_path(HIGHEST)[slug].title
        raise SayitError(f"“{title}” has no number up to {path.limit:,}: choose an earlier step or a larger number.")
    return slug


def _steps(value: Any) -> set[str]:
    if not isinstance(value, list | tuple):
        raise SayitError("The steps to pass over must be a list of steps.")
    widest = load_path(HIGHEST)
    return {widest[str(slug)].slug for slug in value}


def _pace(value: Any) -> float:
    low, high = _PACES
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise SayitError(f"The time to answer can be {low:g} to {high:g} times the path's own.")
    return float(value)
