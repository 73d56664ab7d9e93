"""What a parent wants of one sitting, whatever face it has."""

from dataclasses import dataclass, field

from sayit.practice.free import PLAINEST
from sayit.practice.placement import MINUTES as PLACING_MINUTES
from sayit.practice.question import Question

__all__ = ["Free", "Given", "Wishes"]

MINUTES = 10.0


@dataclass(frozen=True, slots=True)
class Free:
    """Free practice: numbers from ``low`` to ``high``, asked by these ``activities`` in turn."""

    low: int = 1
    high: int = 100
    activities: tuple[str, ...] = PLAINEST


@dataclass(frozen=True, slots=True)
class Given:
    """Just these ``questions``, each with how often it can be put at most, ``tries`` by ``Question.key``."""

    questions: tuple[Question, ...]
    tries: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is wanted of a sitting; all left out, the plan leads it.

    ``minutes`` is its length (10, or 5 where the place on the path is looked for), ``questions`` the most that are asked.
    ``placing`` looks for the place on the path, easily at first for one who ``counts_to`` about that
    number (None: what is noted of the child), ``step`` is where to practise in this sitting only, ``forms`` narrows the forms that are wanted from each child. ``free`` or ``given`` ask without a plan. The same ``seed`` asks the same.
    """

    minutes: float | None = None
    questions: int | None = None
    placing: bool = False
    counts_to: int | None = None
    step: str | None = None
    forms: tuple[str, ...] | None = None
    free: Free | None = None
    given: Given | None = None
    seed: int | None = None

    @property
    def length(self) -> float:
        """Minutes."""
        return self.minutes or (PLACING_MINUTES if self.placing else MINUTES)

    @property
    def planned(self) -> bool:
        """Whether the plan (or the search for a place) leads."""
        return self.free is None and self.given is None
