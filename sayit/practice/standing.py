"""Where a child stands: what is fluent, known, shaky and new, in words and figures."""

from dataclasses import dataclass
from datetime import datetime
from statistics import median

from sayit.practice.activities import split
from sayit.practice.folding import mastered
from sayit.practice.key import skill_name
from sayit.practice.learner import Learner
from sayit.practice.path import Step


@dataclass(frozen=True, slots=True)
class SkillStanding:
    """One way of asking at one step.

    ``status`` is "new", "shaky", "known" (right, not yet at once) or "fluent"; ``accuracy`` (0 to 1)
    and ``seconds`` (median of the right ones) are of the last ten answers, None without any;
    ``trouble`` are the open reasons for misses, worst first.
    """

    ask: str
    says: str
    needed: bool
    status: str
    seen: int
    accuracy: float | None
    seconds: float | None
    trouble: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepStanding:
    """One step: ``place`` is "behind", "here" or "ahead" of where the child is; ``status`` the weakest needed skill's."""

    slug: str
    title: str
    place: str
    status: str
    mastered: bool
    skills: tuple[SkillStanding, ...]


def standing(learner: Learner, now: datetime) -> tuple[StepStanding, ...]:
    """All steps of the child's path at that time."""
    at, path = now.timestamp(), learner.path
    here = path.index(learner.step)
    return tuple(
        _step(learner, step, "behind" if place < here else "here" if place == here else "ahead", at)
        for place, step in enumerate(path)
    )


def _step(learner: Learner, step: Step, place: str, at: float) -> StepStanding:
    needed = learner.asks(step, needed=True)
    skills = tuple(_skill(learner, step.slug, ask, ask in needed, at) for ask in learner.asks(step))
    order = ("new", "shaky", "known", "fluent")
    deciding = [skill.status for skill in skills if skill.needed]
    # One skill that was never asked does not make a step new again.
    if any(status != "new" for status in deciding):
        deciding = [status if status != "new" else "shaky" for status in deciding]
    status = min(deciding, key=order.index)
    return StepStanding(step.slug, step.title, place, status, mastered(learner, step.slug, at), skills)


def _skill(learner: Learner, step: str, ask: str, needed: bool, at: float) -> SkillStanding:
    name = skill_name(step, ask)
    skill = learner.skill(name)
    took = [seconds for shown, seconds in skill.recent if shown != "missed" and seconds is not None]
    trouble = learner.trouble(name, at)
    return SkillStanding(
        ask=ask,
        says=split(ask)[0].says,
        needed=needed,
        status=learner.status(name, at),
        seen=skill.seen,
        accuracy=skill.accuracy if skill.recent else None,
        seconds=median(took) if took else None,
        trouble=tuple(sorted(trouble, key=lambda reason: -trouble[reason])),
    )
