"""A dated log of practice, for a family's own record of home education."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime, tzinfo
from typing import Any

from sayit.numbers import HIGHEST
from sayit.practice.path import load_path
from sayit.report.figures import minutes_practised
from sayit.report.page import Paper
from sayit.report.words import counted, day_in_words, short
from sayit.store import Answer, Child, Session

NOTE = (
    "What a home-education record must hold differs from place to place: check what your own authority asks for. "
    "This log says what was practised and when; it is no assessment."
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One day: ``minutes`` practised, ``answers`` that count, ``right`` of them, and the ``steps`` practised."""

    day: date
    minutes: int
    answers: int
    right: int
    steps: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return asdict(self) | {"day": self.day.isoformat()}


def entries(answers: Iterable[Answer], sessions: Iterable[Session], zone: tzinfo | None) -> tuple[Entry, ...]:
    """A log entry for each day with an answer, oldest first."""
    began = {session.id: session.started for session in sessions}
    days: dict[date, dict[int, list[Answer]]] = defaultdict(lambda: defaultdict(list))
    for answer in answers:
        days[answer.judged_at.astimezone(zone).date()][answer.session].append(answer)
    return tuple(_entry(day, days[day], began) for day in sorted(days))


def log_paper(child: Child, shown: Sequence[Entry], *, now: datetime, invented: bool = False) -> Paper:
    """The log, on as many sheets of A4 as it takes."""
    minutes, answers = (sum(getattr(entry, what) for entry in shown) for what in ("minutes", "answers"))
    return Paper(
        "log",
        {
            "child": child.name,
            "made": day_in_words(now),
            "sum": f"{counted(len(shown), 'day')}, {counted(minutes, 'minute')}, {counted(answers, 'answer')}.",
            "entries": [
                {
                    "day": day_in_words(entry.day),
                    "minutes": entry.minutes,
                    "right": f"{entry.right} of {entry.answers}",
                    "steps": "; ".join(entry.steps),
                }
                for entry in shown
            ],
            "note": NOTE,
            "served": _served(shown),
            "invented": invented,
        },
    )


def _entry(day: date, sittings: dict[int, list[Answer]], began: dict[int, datetime]) -> Entry:
    minutes = sum(minutes_practised(began.get(number), given) for number, given in sittings.items())
    answers = [answer for given in sittings.values() for answer in given if answer.final not in (None, "unclear")]
    met = {answer.step for answer in answers}
    steps = [short(step.title) for step in load_path(HIGHEST) if step.slug in met]
    if len(steps) < len(met):
        steps.append("numbers freely chosen")
    right = sum(answer.final == "right" for answer in answers)
    return Entry(day, max(round(minutes), 1), len(answers), right, tuple(steps))


def _served(shown: Sequence[Entry]) -> list[tuple[str, str]]:
    """Each step that was practised, with the public standards it serves."""
    met = {title for entry in shown for title in entry.steps}
    return [
        (short(step.title), "; ".join(f"{one.of} {one.code}" for one in step.standards))
        for step in load_path(HIGHEST)
        if short(step.title) in met
    ]
