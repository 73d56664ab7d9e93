"""Answers that a clock dated ahead of now: it was wrong, and has been set back since."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from sayit.store.entries import Answer

__all__ = ["in_time", "not_ahead"]


def not_ahead(moments: Sequence[datetime], now: datetime) -> list[datetime]:
    """Moments in the order in which things happened; those after ``now`` are moved to before what happened next.

    What follows each other ahead of now keeps its distances: it is moved as a whole.
    """
    found = list(moments)
    following, by = now, timedelta()
    for number in reversed(range(len(found))):
        if found[number] <= now:
            following, by = found[number], timedelta()
            continue
        by = by or found[number] - following
        found[number] = min(found[number] - by, following)
    return found


def in_time(answers: Sequence[Answer], now: datetime) -> tuple[Answer, ...]:
    """Answers, oldest first, none of them dated after ``now``; what the record holds stays as it is."""
    moments = not_ahead([answer.judged_at for answer in answers], now)
    return tuple(
        answer
        if answer.judged_at == moment
        else replace(answer, judged_at=moment, asked_at=answer.asked_at - (answer.judged_at - moment))
        for answer, moment in zip(answers, moments, strict=True)
    )
