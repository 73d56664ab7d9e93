"""Today's aim and tomorrow's plan of a child, as the desk shows them."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sayit.practice.aims import aim_of
from sayit.practice.plan import plan_week
from sayit.report import cards
from sayit.store import Child, Record
from sayit.store.learning import learner_of

__all__ = ["outlook"]


def outlook(record: Record, child: Child, now: datetime) -> dict[str, Any]:
    """Today's aim and tomorrow's plan of a child, in plain sentences."""
    learner = learner_of(record, child)
    aim = aim_of(learner, now.timestamp())
    (tomorrow,) = cards(plan_week(learner, now, days=1))
    return {
        "aim": aim.sentence,
        "why": f"Because {aim.why}.",
        "tomorrow": {
            "aim": tomorrow.aim,
            "why": tomorrow.why,
            "lay_out": tomorrow.lay_out,
            "say": tomorrow.say,
            "minutes": tomorrow.minutes,
        },
    }
