"""The parent's week in words: tomorrow and the days after it."""

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from sayit.practice.plan import Plan, PlanDay
from sayit.report.words import MONTHS, WEEKDAYS

_MANY = 30
"""More items than that do not fit into ten minutes, so their number says nothing."""


@dataclass(frozen=True, slots=True)
class Card:
    """One day of the plan: what it is for, why, what to lay out, what to say, for how many minutes."""

    day: date
    aim: str
    why: str
    lay_out: str
    say: str
    minutes: int

    @property
    def title(self) -> str:
        """The day, as "Thursday 26 November"."""
        return f"{WEEKDAYS[self.day.weekday()]} {self.day.day} {MONTHS[self.day.month - 1]}"

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return asdict(self) | {"day": self.day.isoformat()}


def cards(plan: Plan) -> tuple[Card, ...]:
    """A card for each day, tomorrow first."""
    return tuple(_card(day) for day in plan.days)


def _card(day: PlanDay) -> Card:
    return Card(day.day, day.aim.sentence, _why(day), day.lay_out, day.say, day.minutes)


def _why(day: PlanDay) -> str:
    back = ""
    if day.due > _MANY:
        back = " Many earlier ones are due too; as many as fit come back."
    elif day.due:
        back = f" {day.due} earlier {'one comes' if day.due == 1 else 'ones come'} back too."
    return f"Why: {day.aim.why}.{back}"
