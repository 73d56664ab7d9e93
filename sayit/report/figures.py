"""What a report tells, worked out from the record: pure, no clock and no disk."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta, tzinfo
from itertools import pairwise
from statistics import median, quantiles
from typing import Any

from sayit.errors import SayitError
from sayit.practice.activities import ACTIVITIES
from sayit.practice.folding import shown_by
from sayit.practice.learner import Learner
from sayit.practice.plan import Plan, plan_week
from sayit.practice.standing import StepStanding, standing
from sayit.store import Answer, Child, Session
from sayit.store.learning import past

PAUSE_SECONDS = 120.0
"""A longer gap between two answers is a break and counts as so much only."""

_FEWEST_DAYS, _FEWEST_TIMES = 10, 3
"""Fewer days, or answers of one kind early and late, say nothing of speed."""

MOST_PAIRS = 5
MOST_PANELS = 4


@dataclass(frozen=True, slots=True)
class Day:
    """One day with practice: ``minutes``, ``answers`` judged, ``right`` of them.

    ``seconds`` is the median time from the end of the question to the start of the voice over right
    spoken answers, ``low`` and ``high`` hold the middle half; None without any.
    """

    day: date
    minutes: float
    answers: int
    right: int
    seconds: float | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Pair:
    """A number asked, the number that came instead, and how often."""

    asked: int
    heard: int
    times: int


@dataclass(frozen=True, slots=True)
class Confusion:
    """Misses for one ``reason``: how many ``times`` in all, and the most frequent ``pairs``."""

    reason: str
    times: int
    pairs: tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class Speed:
    """Median seconds to the voice, over the same ``kinds`` of question in the first quarter of the days and the last."""

    before: float
    after: float
    kinds: int


@dataclass(frozen=True, slots=True)
class Figures:
    """All that a report tells about one child from ``since`` to ``until`` (both days included).

    ``judged`` leaves out what was unclear or set aside; ``quick`` are right answers that came at
    once; ``aims`` counts the closing questions' results ("met", "nearly", "not yet"); ``speed`` is None where no kind
    of question was asked often enough both early and late.
    """

    child: Child
    made: datetime
    since: date
    until: date
    days: tuple[Day, ...]
    answers: int
    judged: int
    right: int
    quick: int
    unclear: int
    other_form: int
    aims: dict[str, int]
    confusions: tuple[Confusion, ...]
    path: tuple[StepStanding, ...]
    plan: Plan
    speed: Speed | None = None

    @property
    def minutes(self) -> float:
        """Minutes practised in all."""
        return sum(day.minutes for day in self.days)

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON; dates as "2026-03-02", times in seconds."""
        return {
            "child": self.child.name,
            "since": self.since.isoformat(),
            "until": self.until.isoformat(),
            "answers": self.answers,
            "judged": self.judged,
            "right": self.right,
            "at_once": self.quick,
            "unclear": self.unclear,
            "other_form": self.other_form,
            "minutes": round(self.minutes, 1),
            "aims": self.aims,
            "days": [asdict(day) | {"day": day.day.isoformat(), "minutes": round(day.minutes, 1)} for day in self.days],
            "confusions": [asdict(one) for one in self.confusions],
            "path": [asdict(step) for step in self.path],
        }


def figures(
    child: Child,
    learner: Learner,
    answers: Sequence[Answer],
    sessions: Iterable[Session],
    *,
    since: date,
    now: datetime,
) -> Figures:
    """Figures from the answers of one child, oldest first, judged on ``since`` or later.

    Days are those of ``now``'s time zone.
    """
    zone = now.tzinfo
    answers = [answer for answer in answers if answer.judged_at.astimezone(zone).date() >= since]
    counted = [answer for answer in answers if answer.final not in (None, "unclear")]
    began = {session.id: session for session in sessions}
    sittings = {answer.session for answer in answers}
    aims = Counter(met for one in sittings if one in began and (met := began[one].aim_met))
    return Figures(
        child=child,
        made=now,
        since=since,
        until=now.date(),
        days=_days(answers, began, zone),
        answers=len(answers),
        judged=len(counted),
        right=sum(answer.final == "right" for answer in counted),
        quick=sum(_quick(learner, answer) for answer in counted),
        unclear=sum(answer.final == "unclear" for answer in answers),
        other_form=sum(answer.final == "other-form" for answer in counted),
        aims=dict(aims),
        confusions=confusions(counted),
        path=standing(learner, now),
        plan=plan_week(learner, now),
        speed=_speed(answers, zone),
    )


def confusions(answers: Iterable[Answer]) -> tuple[Confusion, ...]:
    """Which numbers came instead of which, by the first reason of each miss; most frequent first."""
    pairs: dict[str, Counter[tuple[int, int]]] = defaultdict(Counter)
    for answer in answers:
        activity = ACTIVITIES.get(answer.activity)
        if answer.final != "wrong" or answer.value in (None, answer.asked) or (activity and not activity.tells_number):
            continue
        reason = answer.reasons[0] if answer.reasons else "other-number"
        pairs[reason][answer.asked, answer.value] += 1
    found = [
        Confusion(
            reason,
            times.total(),
            tuple(
                Pair(*pair, count)
                for pair, count in sorted(times.items(), key=lambda one: (-one[1], one[0]))[:MOST_PAIRS]
            ),
        )
        for reason, times in pairs.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.times, one.reason))[:MOST_PANELS])


def minutes_practised(started: datetime | None, answers: Sequence[Answer]) -> float:
    """Minutes from the start of a sitting to its last answer, long breaks cut short."""
    moments = ([started] if started else []) + [moment for one in answers for moment in (one.asked_at, one.judged_at)]
    gaps = ((later - earlier).total_seconds() for earlier, later in pairwise(moments))
    return sum(min(max(gap, 0.0), PAUSE_SECONDS) for gap in gaps) / 60


def first_day(now: datetime, weeks: int) -> date:
    """The first day of a report over so many weeks that ends today."""
    return now.date() - timedelta(days=7 * weeks - 1)


def require_answers(child: Child, count: int) -> None:
    """``SayitError`` where there is nothing to tell."""
    if not count:
        raise SayitError(
            f"{child.name} has no answers in the record yet: practise first (sayit practise --child NAME)."
        )


def _days(answers: Sequence[Answer], sessions: dict[int, Session], zone: tzinfo | None) -> tuple[Day, ...]:
    by_day: dict[date, dict[int, list[Answer]]] = defaultdict(lambda: defaultdict(list))
    for answer in answers:
        by_day[answer.judged_at.astimezone(zone).date()][answer.session].append(answer)
    return tuple(_day(day, by_day[day], sessions) for day in sorted(by_day))


def _day(day: date, sittings: dict[int, list[Answer]], sessions: dict[int, Session]) -> Day:
    minutes, took, answers, right = 0.0, [], 0, 0
    for number, given in sittings.items():
        minutes += minutes_practised(sessions[number].started if number in sessions else None, given)
        for answer in given:
            answers += answer.final not in (None, "unclear")
            right += answer.final == "right"
            if answer.final == "right" and answer.way == "spoken" and answer.response_seconds is not None:
                took.append(answer.response_seconds)
    low, middle, high = quantiles(took, n=4) if len(took) > 1 else (took * 3 or (None, None, None))
    return Day(day, minutes, answers, right, median(took) if took else middle, low, high)


def _speed(answers: Sequence[Answer], zone: tzinfo | None) -> Speed | None:
    """Like with like: a way of asking at a step is compared with itself, for harder numbers take longer."""
    timed = [
        answer
        for answer in answers
        if answer.final == "right" and answer.way == "spoken" and answer.response_seconds is not None
    ]
    days = sorted({answer.judged_at.astimezone(zone).date() for answer in timed})
    if len(days) < _FEWEST_DAYS:
        return None
    part = len(days) // 4
    took: dict[str, tuple[list[float], list[float]]] = defaultdict(lambda: ([], []))
    for answer in timed:
        day = answer.judged_at.astimezone(zone).date()
        if answer.response_seconds is not None and (day < days[part] or day >= days[-part]):
            took[answer.skill][day >= days[-part]].append(answer.response_seconds)
    both = [
        (median(early), median(late)) for early, late in took.values() if min(len(early), len(late)) >= _FEWEST_TIMES
    ]
    if not both:
        return None
    return Speed(median(early for early, _ in both), median(late for _, late in both), len(both))


def _quick(learner: Learner, answer: Answer) -> bool:
    one = past(answer)
    try:
        return one is not None and shown_by(learner, one) == "fluent"
    except (SayitError, ValueError):
        return False
