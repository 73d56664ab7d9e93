"""The guide for the children of one sitting."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from random import Random

from sayit.practice.free import PLAINEST, FreeGuide, draw
from sayit.practice.guide import Guide
from sayit.practice.learner import Learner
from sayit.practice.placement import lead_placement
from sayit.practice.session import lead_one
from sayit.practice.turns import TurnsGuide, lead_turns


def lead_by_plan(
    learners: Sequence[Learner], now: datetime, *, seed: int, minutes: float, looking: bool = False, start: str = ""
) -> Guide:
    """One child by the plan, several in turns, or the first alone where it is ``looking`` for a place, from ``start`` on."""
    if looking:
        return lead_placement(learners[0], now, seed=seed, minutes=minutes, start=start)
    if len(learners) == 1:
        return lead_one(learners[0], now, seed=seed, minutes=minutes)
    return lead_turns(learners, now, seed=seed, minutes=minutes)


def lead_free(
    forms: Sequence[Sequence[str]],
    now: datetime,
    *,
    seed: int,
    minutes: float,
    low: int = 1,
    high: int = 100,
    activities: Sequence[str] = PLAINEST,
) -> Guide:
    """Free practice for a child, or for several in turns; ``forms`` are those wanted from each.

    Several come to an end after ``minutes``; one child has no end of its own.
    """
    guides = [
        FreeGuide(draw(Random(seed + place), low=low, high=high, forms=wanted, activities=activities), forms=wanted)
        for place, wanted in enumerate(forms)
    ]
    return guides[0] if len(guides) == 1 else TurnsGuide(guides, until=now + timedelta(minutes=minutes))
