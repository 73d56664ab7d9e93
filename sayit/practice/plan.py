"""The parent's week: what to do tomorrow and the days after, and why."""

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sayit.practice.aims import Aim, ranked
from sayit.practice.folding import finished
from sayit.practice.ideas import idea
from sayit.practice.learner import Learner
from sayit.practice.placing import how_to_go_on, tomorrow, way_back

DAYS = 7
MINUTES = 10
_TURNS = (0, 1, 0, 2, 1, 0, 3)
"""Which of the most pressing aims a day takes: the first comes back every few days, others between."""


@dataclass(frozen=True, slots=True)
class PlanDay:
    """One day: its ``aim`` and ``why``, what to ``lay_out`` and ``say``, how many items come back (``due``), ``minutes``."""

    day: date
    aim: Aim
    why: str
    lay_out: str
    say: str
    due: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Plan:
    """The days from tomorrow on. ``step`` is the title of the child's step; ``note`` one more plain sentence or ""."""

    step: str
    days: tuple[PlanDay, ...]
    note: str


def plan_week(learner: Learner, now: datetime, *, days: int = DAYS, minutes: int = MINUTES) -> Plan:
    """The plan for ``days`` days from the day after ``now`` (in ``now``'s own time zone).

    Tomorrow follows from all that is known; the days after it are what would follow
    if tomorrow changed nothing, so the plan is made anew each day.
    """
    learner = tomorrow(learner, now.timestamp() + 86_400)
    path = learner.path
    at = now.timestamp()
    open_ = _open(ranked(learner, at))
    planned: list[PlanDay] = []
    turns: Counter[str] = Counter()
    for ahead in range(days):
        aim = open_[_TURNS[ahead % len(_TURNS)] % len(open_)]
        step = path[aim.step]
        day = (now + timedelta(days=ahead + 1)).date()
        due = _due(learner, now, ahead + 1)
        planned.append(PlanDay(day, aim, _why(aim, due), *idea(step, aim.ask, turns[step.slug], day), due, minutes))
        turns[step.slug] += 1
    return Plan(path[learner.step].title, tuple(planned), _note(learner, at))


def _open(aims: list[Aim]) -> list[Aim]:
    """The aims that are not fluent yet, each skill once; the first one where all is fluent."""
    once = {aim.skill: aim for aim in reversed(aims)}
    open_ = [aim for aim in aims if once[aim.skill] is aim and not aim.fluent]
    return open_ or aims[:1]


def _due(learner: Learner, now: datetime, ahead: int) -> int:
    """Items that fall due on that day; tomorrow's include all that are overdue."""
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    start = (midnight + timedelta(days=ahead)).timestamp() if ahead > 1 else float("-inf")
    end = (midnight + timedelta(days=ahead + 1)).timestamp()
    return sum(learner.items[key].due >= start for key in learner.due(end))


def _why(aim: Aim, due: int) -> str:
    why = f"Because {aim.why}"
    if due:
        why += f"; {due} earlier {'one comes' if due == 1 else 'ones come'} back"
    return why + "."


def _note(learner: Learner, at: float) -> str:
    if way := way_back(learner):
        return way
    if finished(learner, at):
        return f"{how_to_go_on(learner)} A few minutes a week keep all of it fresh."
    if not learner.answers:
        return "Nothing was asked yet: a five-minute placement would find where to start."
    return ""
