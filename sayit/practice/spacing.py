"""When an item is due again, over days: the ``fsrs`` library behind one function."""

import math
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fsrs import Scheduler

RETENTION = 0.9
"""The share of items that should still be right when they come back."""

LONGEST_DAYS = 21
"""No item waits longer (ours): the foundations are few, and a gap in them costs more than a look."""


@dataclass(slots=True)
class Item:
    """What is kept of one item: FSRS's two numbers, when it was last asked and when it is due.

    Times are seconds since 1970 (UTC). ``missed_at`` is the last miss; ``misses``
    of ``seen`` answers were missed.
    """

    stability: float = 0.0
    difficulty: float = 0.0
    last: float = 0.0
    due: float = 0.0
    seen: int = 0
    misses: int = 0
    missed_at: float = 0.0


@cache
def _scheduler() -> "Scheduler":
    from fsrs import Scheduler

    # Repeats within a sitting are the session's own business, so no learning steps;
    # fuzz would draw from a random source that we do not hold.
    return Scheduler(
        desired_retention=RETENTION,
        learning_steps=(),
        relearning_steps=(),
        enable_fuzzing=False,
        maximum_interval=LONGEST_DAYS,
    )


def stretch(kept: float) -> float:
    """By how much to shorten intervals in a skill of which only the share ``kept`` was still there.

    FSRS's own numbers were fitted to older learners of other things. An exponential
    forgetting curve through the share observed is stretched to ``RETENTION``; never
    longer than FSRS has it, at the shortest a quarter.
    """
    return min(1.0, max(0.25, math.log(RETENTION) / math.log(min(max(kept, 0.01), 0.99))))


def review(item: Item, shown: str, at: float, stretched: float = 1.0) -> None:
    """Fold one answer into ``item``: missed, slow, correct or fluent become Again, Hard, Good, Easy.

    The first two quick answers count as Good only, and so do those to an item that was missed
    more than one time in ten: neither a lucky start nor a good day must put it off for weeks.
    ``stretched`` shortens the interval, as ``stretch`` says.
    """
    from fsrs import Card, Rating, State

    when = datetime.fromtimestamp(at, UTC)
    rating = {
        "missed": Rating.Again,
        "slow": Rating.Hard,
        "correct": Rating.Good,
        "untimed": Rating.Good,
        "fluent": Rating.Easy if item.seen >= 2 and item.misses * 10 <= item.seen else Rating.Good,
    }[shown]
    known = item.stability > 0
    card = Card(
        card_id=1,
        state=State.Review if known else State.Learning,
        stability=item.stability if known else None,
        difficulty=item.difficulty if known else None,
        due=datetime.fromtimestamp(item.due, UTC),
        last_review=datetime.fromtimestamp(item.last, UTC) if known else None,
    )
    card, _ = _scheduler().review_card(card, rating, when)
    item.stability, item.difficulty = card.stability or 0.0, card.difficulty or 0.0
    item.due, item.last = at + (card.due.timestamp() - at) * stretched, at
    item.seen += 1
    if shown == "missed":
        item.misses += 1
        item.missed_at = at
