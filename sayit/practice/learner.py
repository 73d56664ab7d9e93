"""What is known of one child: a compact state that takes in one answer at a time.

Nothing here grows with the number of answers, only with the number of
different things asked, so the two-hundred-thousandth answer costs what the first
did, and the state can be rebuilt from the record.
"""

from dataclasses import astuple, dataclass, field, replace
from datetime import datetime
from functools import cache
from statistics import median
from typing import Any

from sayit.numbers import FORMS
from sayit.practice import counting, mastery, placing, spacing
from sayit.practice.activities import asks, split
from sayit.practice.key import Key, label, skill_name, split_ask, split_item, split_skill
from sayit.practice.mastery import Rates
from sayit.practice.path import Path, Step, load_path

RECENT = 10
"""How many answers a skill remembers one by one."""

ECHO_SECONDS = 45.0
"""A right answer so soon after the tool said it proves memory for a moment, not knowledge."""

HALF_LIFE_DAYS = 7.0
"""How fast a reason for misses fades when it does not come again."""

AT_ONCE = 0.7
"""Share of the last answers that must have come at once in a fluent skill (ours)."""

MOST_GLIMPSES = 24
_DAY = 86_400.0
_NIGHT = 28_800.0
_KEPT_WEIGHT = 0.1
_RIGHT_ENOUGH = 6
"""So many answers of a skill that is right, but not at once, make it known well enough to go on (ours)."""

_PATIENCE = 12
"""So many where some of its numbers are weak: missed or counted (ours)."""

_SIBLING = 0.5
"""Share of its interval that an item waits again when the number was right in another way (ours)."""

_OWN_PACE = 1.3
"""A slow answer within so many times the child's own usual seconds says nothing against its memory (ours)."""


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
        return mastery.fade(skill.belief, (at - skill.last) / _DAY) if skill.seen else skill.belief

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
        last = skill.recent[-_RIGHT_ENOUGH:]
        if state == "shaky" and len(last) == _RIGHT_ENOUGH and all(shown != "missed" for shown, _ in last):
            return "known"
        return state

    def trouble(self, name: str, at: float) -> dict[str, float]:
        """Reasons for misses in a skill that are still open, with their faded weight (1: once just now)."""
        skill = self.skills.get(name)
        if not skill:
            return {}
        faded = 0.5 ** (max(at - skill.last, 0.0) / _DAY / HALF_LIFE_DAYS)
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
def _rates(activity: str) -> Rates:
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


@cache
def _quick(limit: int | None, step: str, activity: str) -> float:
    return load_path(limit)[step].seconds * split(activity)[0].factor


def shown_by(learner: Learner, past: Past) -> str:
    """What an answer shows: a level of ``mastery.LEVELS``, "untimed" or "unclear"."""
    key = Key.parse(past.key)
    quick = _quick(learner.limit, key.step, key.activity) * learner.pace
    shown = mastery.level(past.verdict, past.response_seconds, quick)
    # Counting aloud gets there, but it is not seeing or knowing.
    return "slow" if shown in ("fluent", "correct", "untimed") and "counted" in past.reasons else shown


def fold(learner: Learner, past: Past) -> str:
    """Take one answer in, in place; returns what it showed.

    ``SayitError`` for a key that no step or activity of this path knows.
    A step that is mastered by it is left for the next; one that was too hard in the sittings before, for an earlier one.
    """
    shown = shown_by(learner, past)
    key = Key.parse(past.key)
    name, item_name = key.skill, key.item
    at = past.at.timestamp()
    placing.look(learner, at)
    learner.effort.last = max(learner.effort.last, at)
    learner.answers += 1
    learner.last = max(learner.last, at)
    if shown == "unclear":
        return shown
    echo = shown != "missed" and at - learner.missed.get(past.key, float("-inf")) < ECHO_SECONDS
    if shown == "missed":
        learner.missed[past.key] = at
        # A miss matters for the next minutes only; older ones would pile up.
        if len(learner.missed) > 64:
            del learner.missed[min(learner.missed, key=learner.missed.__getitem__)]
    if echo:
        return shown
    if split(key.activity)[0].counts and learner.path.index(key.step) <= learner.path.index(learner.step):
        learner.effort.take(shown != "missed")
    counted = "counted" in past.reasons
    if split(key.activity)[0].seen and shown != "missed" and past.response_seconds is not None:
        learner.glimpses = [*learner.glimpses, (key.about[0], past.response_seconds)][-MOST_GLIMPSES:]
        grows = counting.slope(learner.glimpses) if shown == "slow" and not counted else None
        if grows and grows.counting:
            counted, past = True, replace(past, reasons=(*past.reasons, "counted"))
    skill = learner.skills.get(name)
    if skill is None:
        skill = learner.skills[name] = Skill(learner.start(name), last=at)
    weak = [other for other in learner.weak.get(name, ()) if other != item_name]
    recalled = _recalled(skill, shown, past.response_seconds)
    _learn(skill, past, shown, at, _rates(key.activity), relieved=not weak)
    item = learner.items.setdefault(item_name, spacing.Item())
    # A quantity that was counted was not seen: it must not wait as one that was.
    if item.seen and at - item.last > _NIGHT:
        skill.kept += _KEPT_WEIGHT * ((shown != "missed" and not counted) - skill.kept)
    spacing.review(item, "missed" if counted else recalled, at, spacing.stretch(skill.kept))
    if shown != "missed" and not counted:
        _credit(learner, key, at)
    learner.weak[name] = tuple(weak + [item_name] * (counted or shown == "missed"))
    if key.step == learner.step and mastered(learner, key.step, at):
        learner.step = _next(learner)
    return shown


def siblings(learner: Learner, key: Key) -> list[str]:
    """The items that ask for the same number in the other ways that are needed."""
    if len(key.about) > 1 or key.step not in learner.path.slugs:
        return []
    names = (skill_name(key.step, ask) for ask in learner.asks(learner.path[key.step], needed=True))
    items = (f"{name}/{label(key.about[0])}" for name in names if name != key.skill)
    return [item for item in items if item in learner.items]


def _credit(learner: Learner, key: Key, at: float) -> None:
    """What was right in one way was partly seen for its other ways too: each waits half its own interval anew.

    Not where it was missed when asked so last.
    """
    for name in siblings(learner, key):
        other = learner.items[name]
        if other.missed_at < other.last:
            other.due = max(other.due, at + _SIBLING * (other.due - other.last))


def _recalled(skill: Skill, shown: str, seconds: float | None) -> str:
    """What an answer says of memory: one as quick as the child usually is here was simply right."""
    usual = skill.usual
    return "correct" if shown == "slow" and usual and seconds and seconds <= _OWN_PACE * usual else shown


def _learn(skill: Skill, past: Past, shown: str, at: float, rates: Rates, *, relieved: bool) -> None:
    days = max(at - skill.last, 0.0) / _DAY
    faded = 0.5 ** (days / HALF_LIFE_DAYS)
    # Right answers ease a reason, but not while other items still show it.
    relief = 0.85 if relieved and shown in ("fluent", "correct", "untimed") else 1.0
    skill.reasons = {
        reason: weight * faded * relief for reason, weight in skill.reasons.items() if weight * faded * relief >= 0.1
    }
    reasons = past.reasons or (("other-form",) if past.verdict == "other-form" else ())
    if shown in ("missed", "slow"):
        for reason in reasons:
            skill.reasons[reason] = skill.reasons.get(reason, 0.0) + 1.0
    skill.belief = mastery.update(mastery.fade(skill.belief, days, rates), shown, rates)
    skill.seen += 1
    skill.right += shown != "missed"
    skill.last = at
    skill.recent = [*skill.recent, (shown, past.response_seconds)][-RECENT:]


def mastered(learner: Learner, step: str, at: float) -> bool:
    """Whether every needed way of asking at a step is fluent and accurate enough.

    One that is right but not at once counts too: speed is an aim of its own, practised on and on, and never a wall.
    """
    data = learner.path[step]
    for ask in learner.asks(data, needed=True):
        name = skill_name(step, ask)
        skill = learner.skills.get(name)
        if skill is None or skill.seen < 3 or skill.accuracy < data.accuracy:
            return False
        state = learner.status(name, at)
        enough = _PATIENCE if learner.weak.get(name) else _RIGHT_ENOUGH
        if state != "fluent" and not (state == "known" and skill.seen >= enough):
            return False
    return True


def finished(learner: Learner, at: float) -> bool:
    """Whether the last step of the path is mastered."""
    return _next(learner) == learner.step and mastered(learner, learner.step, at)


def _next(learner: Learner) -> str:
    steps = learner.path.slugs
    for slug in steps[steps.index(learner.step) + 1 :]:
        if slug not in learner.skipped:
            return slug
    return learner.step
