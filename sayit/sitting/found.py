"""What the search for a child's place found, and settling it: the same from every face."""

from dataclasses import dataclass
from datetime import datetime

from sayit.practice.placement import PlacementGuide, placed
from sayit.sitting.table import Table
from sayit.store import Child, Placement, Record

__all__ = ["Found", "found_by", "settle"]


@dataclass(frozen=True, slots=True)
class Found:
    """A place on the path for ``child``: ``step`` and ``title``, whether it is ``sure`` enough, from how many ``answers``.

    ``skipped`` are the steps that stay passed over, ``began`` is when the search began.
    """

    child: Child
    step: str
    title: str
    aim: str
    sure: bool
    answers: int
    skipped: tuple[str, ...]
    began: datetime

    @property
    def sentence(self) -> str:
        """What was found, for the parent."""
        told = f"{self.answers} {'answer' if self.answers == 1 else 'answers'}"
        name = self.child.name
        if not self.answers:
            return f"Nothing was answered, so nothing is known of {name}'s place."
        if self.sure:
            return f"{name}'s place on the path is “{self.title}”, after {told}."
        return (
            f"{name}'s place on the path is not sure after {told}; likeliest it is “{self.title}”. "
            "Leave it and look again another day, or take it if it fits what you see."
        )


def found_by(table: Table) -> Found | None:
    """What the sitting found; None where no place was looked for."""
    guide, seat = table.guide, table.seats[0]
    if not isinstance(guide, PlacementGuide):
        return None
    step, skipped = placed(guide)
    answers = len(table.record.answers(session=seat.session))
    data = guide.learner.path[step]
    return Found(seat.child, step, data.title, data.aim, guide.found, answers, skipped, seat.session.started)


def settle(record: Record, found: Found) -> Placement:
    """Let the child go on at the place found.

    It holds from the first answer of the search on, so that those answers count at that place.
    """
    holds = record.placements(found.child)
    limit, pace = (holds[-1].limit, holds[-1].pace) if holds else (None, 1.0)
    return record.place(found.child, found.step, at=found.began, limit=limit, pace=pace, skipped=found.skipped)
