"""Taking an answer back: what the learner was before it."""

from copy import copy
from dataclasses import dataclass
from typing import TypeVar

from sayit.practice.folding import siblings
from sayit.practice.key import Key
from sayit.practice.learner import Learner, Skill
from sayit.practice.placing import Effort
from sayit.practice.spacing import Item

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Before:
    """What one answer to ``key`` will touch, as it was; None where there was nothing."""

    key: Key
    step: str
    glimpses: list[tuple[int, float]]
    answers: int
    last: float
    missed: dict[str, float]
    weak: tuple[str, ...] | None
    skill: Skill | None
    item: Item | None
    effort: Effort
    others: dict[str, Skill]
    siblings: dict[str, float]


def remember(learner: Learner, key: str) -> Before:
    """A copy of all that folding an answer to ``key`` can change."""
    touched = Key.parse(key)
    return Before(
        touched,
        learner.step,
        list(learner.glimpses),
        learner.answers,
        learner.last,
        dict(learner.missed),
        learner.weak.get(touched.skill),
        copy(learner.skills.get(touched.skill)),
        copy(learner.items.get(touched.item)),
        copy(learner.effort),
        # Only a step back touches more than the skill asked.
        {name: copy(skill) for name, skill in learner.skills.items()} if learner.effort.hard else {},
        {other: learner.items[other].due for other in siblings(learner, touched)},
    )


def restore(learner: Learner, before: Before) -> None:
    """Make the learner what it was."""
    learner.step, learner.answers, learner.last = before.step, before.answers, before.last
    learner.glimpses, learner.missed = list(before.glimpses), dict(before.missed)
    learner.effort = copy(before.effort)
    learner.skills.update({name: copy(skill) for name, skill in before.others.items()})
    for other, due in before.siblings.items():
        learner.items[other].due = due
    _put(learner.weak, before.key.skill, before.weak)
    _put(learner.skills, before.key.skill, copy(before.skill))
    _put(learner.items, before.key.item, copy(before.item))


def _put(kept: dict[str, _T], key: str, old: _T | None) -> None:
    if old is None:
        kept.pop(key, None)
    else:
        kept[key] = old
