"""Patterns in the misses: a reason that keeps coming, and the skills it touches."""

from dataclasses import dataclass

from sayit.practice.activities.glimpse import GLIMPSE
from sayit.practice.key import skill_name, split_ask, split_skill
from sayit.practice.learner import Learner

PATTERN_AT = 1.5
"""Faded weight from which a reason is a pattern: two misses for it within a few days, not one slip."""


@dataclass(frozen=True, slots=True)
class Home:
    """Where a reason is at home, wherever it was noticed: ``steps``, and the activities that can show it (any: none)."""

    steps: tuple[str, ...]
    activities: tuple[str, ...] = ()


HOMES = {
    "teen-ty-swap": Home(("teens", "whole-tens")),
    "lost-zero": Home(("hundreds-inner-zero", "thousands-inner-zeros")),
    "glued-parts": Home(("hundreds", "hundreds-inner-zero", "thousands", "thousands-inner-zeros")),
    "counted": Home(("to-five", "five-and-some"), (GLIMPSE.slug,)),
}
"""Reasons with a home are one thing wherever they show; all others are a pattern only where they gather."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A ``reason`` that keeps coming, its faded ``weight``, and the ``skills`` to practise for it, worst first."""

    reason: str
    weight: float
    skills: tuple[str, ...]


def patterns(learner: Learner, at: float) -> tuple[Pattern, ...]:
    """All patterns open at that time, heaviest first."""
    weights: dict[str, dict[str, float]] = {}
    for name in learner.skills:
        for reason, weight in learner.trouble(name, at).items():
            weights.setdefault(reason, {})[name] = weight
    found = []
    for reason, by_skill in weights.items():
        weight = sum(by_skill.values()) if reason in HOMES else max(by_skill.values())
        skills = _skills(learner, reason, by_skill)
        if weight >= PATTERN_AT and skills:
            found.append(Pattern(reason, weight, skills))
    return tuple(sorted(found, key=lambda pattern: (-pattern.weight, pattern.reason)))


def _skills(learner: Learner, reason: str, by_skill: dict[str, float]) -> tuple[str, ...]:
    path = learner.path
    reachable = path.slugs[: path.index(learner.step) + 1]
    seen = sorted(by_skill, key=lambda name: (-by_skill[name], name))
    home = HOMES.get(reason, Home(()))
    there = (
        skill_name(slug, ask)
        for slug in home.steps
        if slug in reachable
        for ask in learner.asks(path[slug], needed=True)
    )
    names = [name for name in dict.fromkeys((*seen, *there)) if split_skill(name)[0] in reachable]
    fit = [name for name in names if not home.activities or _activity(name) in home.activities]
    return tuple(fit or names)


def _activity(skill: str) -> str:
    return split_ask(split_skill(skill)[1])[0]
