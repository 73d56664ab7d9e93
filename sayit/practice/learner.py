"""What is known of one child: a compact state that takes in one answer at a time.

Nothing here grows with the number of answers, only with the number of
different things asked, so the two-hundred-thousandth answer costs what the first
did, and the state can be rebuilt from the record.
"""

from dataclasses import astuple, dataclass, field
from datetime import datetime
from functools import cache
from statistics import median
from typing import Any

from sayit.numbers import FORMS
from sayit.practice import mastery, placing, spacing
from sayit.practice.activities import asks, split
from sayit.practice.key import skill_name, split_ask, split_item, split_skill
from sayit.practice.mastery import Rates
from sayit.practice.path import Path, Step, load_path

RECENT = 10
"""How many answers a skill remembers one by one."""

HALF_LIFE_DAYS = 7.0
"""How fast a reason for misses fades when it does not come again."""

AT_ONCE = 0.7
"""Share of the last answers that must have come at once in a fluent skill (ours)."""

DAY = 86_400.0
RIGHT_ENOUGH = 6
"""So many answers of a skill that is right, but not at once, make it known well enough to go on (ours)."""


@dataclass(frozen=True, slots=True)
class Past:
    """One judged answer as the record gives it back.

    ``at`` is an aware datetime, ``key`` the ``Question.key``, ``verdict`` the one
    that counts (a parent's correction wins), ``response_seconds`` from the end of the prompt to
    the start of the voice, or None.
    """

    at: datetime
    key: str
    verdict: str
    reasons: tuple[str, ...] = ()
    response_seconds: float | None = None


def past_of(
    at: datetime, key: str, verdict: str, override: str | None, reasons: tuple[str, ...], response_seconds: float | None
) -> Past | None:
    """A judged answer as it counts after the parent's ``override`` (or None); None where it was set aside."""
    if override in ("again", "skip"):
        return None
    final = override or verdict
    # A parent who says "right" takes the reasons back too.
    return Past(at, key, final, reasons if final == verdict else (), response_seconds)


@dataclass(slots=True)
class Skill:
    """One way of asking at one step: the mastery belief, and the last few answers as (level, seconds).

    ``kept`` is the running share of items that were still there when they came back on another day.
    """

    belief: mastery.Belief
    seen: int = 0
    right: int = 0
    last: float = 0.0
    recent: list[tuple[str, float | None]] = field(default_factory=list)
    reasons: dict[str, float] = field(default_factory=dict)
    kept: float = spacing.RETENTION

    @property
    def accuracy(self) -> float:
        """Share of right ones among the last answers; 0 without any."""
        return sum(shown != "missed" for shown, _ in self.recent) / len(self.recent) if self.recent else 0.0

    @property
    def usual(self) -> float | None:
        """Median seconds of the last right answers; None with fewer than four."""
        took = [seconds for shown, seconds in self.recent if shown != "missed" and seconds is not None]
        return median(took) if len(took) >= 4 else None


@dataclass(slots=True)
class Learner:
    """One child. ``step`` is where the child is, ``pace`` stretches every time limit (1.5: half as much again).

    ``skipped`` steps are passed over, ``forms`` are those wanted. ``skills`` by ``Question.skill``, ``items`` by
    ``Key.item``, ``weak`` the items of a skill whose last answer was missed or counted,
    ``missed`` the last minutes' misses, ``glimpses`` the last right (quantity, seconds), ``effort`` how it goes at ``step``.
    Times inside are seconds since 1970, UTC.
    """

    step: str
    limit: int | None = None
    pace: float = 1.0
    skipped: tuple[str, ...] = ()
    forms: tuple[str, ...] = FORMS
    skills: dict[str, Skill] = field(default_factory=dict)
    items: dict[str, spacing.Item] = field(default_factory=dict)
    weak: dict[str, tuple[str, ...]] = field(default_factory=dict)
    missed: dict[str, float] = field(default_factory=dict)
    glimpses: list[tuple[int, float]] = field(default_factory=list)
    effort: placing.Effort = field(default_factory=placing.Effort)
    answers: int = 0
    last: float = 0.0

    @property
    def path(self) -> Path:
        """The path of steps up to this child's limit."""
        return load_path(self.limit)

    def asks(self, step: Step, *, needed: bool = False) -> tuple[str, ...]:
        """The ways of asking at a step in the forms wanted; with ``needed`` those that decide mastery."""
        return _asks(self.limit, step.slug, self.forms, needed)

    def knows_both(self, slug: str) -> bool:
        """Whether both names of a number are this child's at a step."""
        return {*FORMS} <= {*self.forms} & {*self.path[slug].forms}

    def due(self, at: float) -> list[str]:
        """The items that are due at that time in what decides mastery, the most overdue for their interval first."""
        needed = _needed(self.limit, self.forms)
        found = [
            ((at - item.due) / max(item.due - item.last, 1.0), key)
            for key, item in self.items.items()
            if item.due <= at and split_item(key)[0] in needed
        ]
        return [key for _, key in sorted(found, reverse=True)]

    def skill(self, name: str) -> Skill:
        """A skill's state; a fresh one where nothing was asked yet (not kept)."""
        return self.skills.get(name) or Skill(self.start(name))

    def start(self, name: str) -> mastery.Belief:
        """The belief in a skill before its first answer."""
        path = self.path
        return mastery.BEFORE if path.index(split_skill(name)[0]) < path.index(self.step) else mastery.START

    def belief(self, name: str, at: float) -> mastery.Belief:
        """The mastery belief of a skill at a time, days without practice taken into account."""
        skill = self.skill(name)
        return mastery.fade(skill.belief, (at - skill.last) / DAY) if skill.seen else skill.belief

    def status(self, name: str, at: float) -> str:
        """A skill in a word: "new", "shaky", "known" or "fluent", as ``mastery.status`` has it.

        Fluent is only what came at once in most of the last answers too, and where no item is
        weak: three quick answers say little about a fourth number. What was right six times in a row is known, however slowly.
        """
        skill = self.skill(name)
        state = mastery.status(self.belief(name, at), skill.seen)
        at_once = [shown in ("fluent", "untimed") for shown, _ in skill.recent]
        if state == "fluent" and (sum(at_once) < AT_ONCE * len(at_once) or self.weak.get(name)):
            return "known"
        last = skill.recent[-RIGHT_ENOUGH:]
        if state == "shaky" and len(last) == RIGHT_ENOUGH and all(shown != "missed" for shown, _ in last):
            return "known"
        return state

    def trouble(self, name: str, at: float) -> dict[str, float]:
        """Reasons for misses in a skill that are still open, with their faded weight (1: once just now)."""
        skill = self.skills.get(name)
        if not skill:
            return {}
        faded = 0.5 ** (max(at - skill.last, 0.0) / DAY / HALF_LIFE_DAYS)
        return {reason: weight * faded for reason, weight in skill.reasons.items() if weight * faded >= 0.25}

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return {
            "version": 2,
            "step": self.step,
            "limit": self.limit,
            "pace": self.pace,
            "skipped": list(self.skipped),
            "forms": list(self.forms),
            "answers": self.answers,
            "last": self.last,
            "skills": {
                name: [
                    list(s.belief),
                    s.seen,
                    s.right,
                    s.last,
                    [list(shown) for shown in s.recent],
                    dict(s.reasons),
                    s.kept,
                ]
                for name, s in self.skills.items()
            },
            "items": {
                key: [i.stability, i.difficulty, i.last, i.due, i.seen, i.misses, i.missed_at]
                for key, i in self.items.items()
            },
            "weak": {name: list(keys) for name, keys in self.weak.items()},
            "missed": dict(self.missed),
            "glimpses": [list(pair) for pair in self.glimpses],
            "effort": astuple(self.effort),
        }

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> "Learner":
        """The learner that ``to_dict`` gave; KeyError or TypeError if it is not one."""
        return cls(
            step=data["step"],
            limit=data["limit"],
            pace=data["pace"],
            skipped=tuple(data["skipped"]),
            forms=tuple(data["forms"]),
            answers=data["answers"],
            last=data["last"],
            skills={
                name: Skill(tuple(b), seen, right, last, [(shown, took) for shown, took in recent], dict(reasons), kept)
                for name, (b, seen, right, last, recent, reasons, kept) in data["skills"].items()
            },
            items={key: spacing.Item(*values) for key, values in data["items"].items()},
            weak={name: tuple(keys) for name, keys in data["weak"].items()},
            missed=dict(data["missed"]),
            glimpses=[(quantity, seconds) for quantity, seconds in data["glimpses"]],
            effort=placing.Effort(*data["effort"]),
        )


@cache
def rates_of(activity: str) -> Rates:
    """How answers to an activity move a belief."""
    return Rates(guess=split(activity)[0].guess)


@cache
def _asks(limit: int | None, slug: str, forms: tuple[str, ...], needed: bool) -> tuple[str, ...]:
    step = load_path(limit)[slug]
    others = set(step.forms) - set(forms) if set(step.forms) & set(forms) else ()
    return tuple(ask for ask in asks(step, needed=needed) if split_ask(ask)[1] not in others)


@cache
def _needed(limit: int | None, forms: tuple[str, ...]) -> frozenset[str]:
    path = load_path(limit)
    return frozenset(skill_name(slug, ask) for slug in path.slugs for ask in _asks(limit, slug, forms, True))
