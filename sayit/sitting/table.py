"""The people and things of one sitting, as its turns find them."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TypeVar

from sayit.practice.guide import Guide, next_fitting
from sayit.practice.question import Question
from sayit.sitting.devices import Devices
from sayit.sitting.events import Event
from sayit.sitting.patience import patiently
from sayit.sitting.speaker import Speaker
from sayit.store import Child, Record, Session

__all__ = ["Seat", "Table"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Seat:
    """One of the children of a sitting, its session in the record, and a speaker that calls it by its name."""

    child: Child
    session: Session
    speaker: Speaker


@dataclass(slots=True)
class Table:
    """What a sitting consists of.

    ``guide`` leads it, ``seats`` are the children in their order, ``host`` speaks to all of them, ``report`` is told each event,
    ``now`` gives the time, ``fits`` tells whether a child (counted from 0) can be asked a question. ``minutes`` and
    ``questions`` bound the sitting, and the seconds that were ``rested`` do not count. ``seat`` is whose turn it is.
    """

    record: Record
    guide: Guide
    seats: tuple[Seat, ...]
    host: Speaker
    devices: Devices
    report: Callable[[Event], None]
    now: Callable[[], datetime]
    minutes: float
    questions: int | None = None
    rested: Callable[[], float] = lambda: 0.0
    fits: Callable[[int, Question], bool] = lambda whose, question: True
    seat: Seat = field(init=False)

    def __post_init__(self) -> None:
        self.seat = self.seats[0]

    def next_question(self) -> Question | None:
        """What to ask now, or None where the guide has no more; asked twice without an answer it is the same."""
        return next_fitting(self.guide, self.practised(), self.fits)

    def practised(self) -> datetime:
        """The time as if nobody had rested: by it go the minutes of the sitting and what the guide is told."""
        return self.now() - timedelta(seconds=self.rested())

    def patiently(self, do: Callable[[], T]) -> T:
        """Do something with the record, however long another program holds it."""
        return patiently(self.record, self.report, do)
