"""Patterns in the misses: a reason that keeps coming, and the skills it touches."""

from dataclasses import dataclass

from sayit.practice.activities import asks
from sayit.practice.learner import Learner

PATTERN_AT = 1.5
"""Faded weight from which a reason is a pattern: two misses for it within a few days, not one slip."""

_HOME = {
    "teen-ty-swap": ("teens", "whole-tens"),
    "lost-zero": ("hundreds-inner-zero", "thousands-inner-zeros"),
    "glued-parts": ("hundreds", "hundreds-inner-zero", "thousands", "thousands-inner-zeros"),
    "counted": ("to-five", "five-and-some"),
}
"""Steps at which a reason is at home, wherever it was noticed."""

_ASKED_BY = {"counted": ("glimpse",)}
"""Ways of asking that can show a reason; any, where none are named."""


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
        # A reason with a home is one thing wherever it shows; slips such as one too many
        # are a pattern only where they gather.
        weight = sum(by_skill.values()) if reason in _HOME else max(by_skill.values())
        skills = _skills(learner, reason, by_skill)
        if weight >= PATTERN_AT and skills:
            found.append(Pattern(reason, weight, skills))
    return tuple(sorted(found, key=lambda pattern: (-pattern.weight, pattern.reason)))


def _skills(learner: Learner, reason: str, by_skill: dict[str, float]) -> tuple[str, ...]:
    path = learner.path
    reachable = path.slugs[: path.index(learner.step) + 1]
    seen = sorted(by_skill, key=lambda name: (-by_skill[name], name))
    home = [
        f"{slug}/{ask}" for slug in _HOME.get(reason, ()) if slug in reachable for ask in asks(path[slug], needed=True)
    ]
    wanted = _ASKED_BY.get(reason)
    names = [name for name in dict.fromkeys((*seen, *home)) if name.split("/")[0] in reachable]
    fit = [name for name in names if not wanted or name.split("/")[1].split(":")[0] in wanted]
    return tuple(fit or names)
