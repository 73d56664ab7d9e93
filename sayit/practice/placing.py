"""Where on the path a child is put: by a parent, by a placement, and back again where sittings were too hard."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sayit.numbers import HIGHEST
from sayit.practice.activities import split
from sayit.practice.key import skill_name, split_skill

if TYPE_CHECKING:
    from sayit.practice.learner import Learner

__all__ = ["Effort", "go_to", "how_to_go_on", "look", "settle", "tomorrow", "way_back"]

PAUSE = 1_800.0
"""Seconds without an answer after which another sitting begins."""

HARD_SITTINGS = 2
"""After so many hard sittings in a row the practice steps back (ours)."""

HARD = 0.6
"""A sitting in which less than this share of the answers was right was hard (ours)."""

FEWEST = 6
_SUCCEEDS = 0.7


@dataclass(slots=True)
class Effort:
    """How it goes: answers ``asked`` and ``right`` in this sitting, and ``hard`` sittings in a row before it.

    ``last`` is the time of the last answer, ``back`` the step that was too hard ("" for none).
    """

    last: float = 0.0
    asked: int = 0
    right: int = 0
    hard: int = 0
    back: str = ""

    def take(self, right: bool) -> None:
        """An answer at the child's step or before; what can be an echo is left out."""
        self.asked += 1
        self.right += right


def settle(learner: "Learner", step: str, limit: int | None, pace: float, skipped: tuple[str, ...]) -> None:
    """Let a placement hold from now on; unknown steps (of a larger limit, say) leave the step as it is."""
    learner.limit, learner.pace, learner.skipped = limit, pace, skipped
    slugs = learner.path.slugs
    if step in slugs:
        go_to(learner, step)
    elif learner.step not in slugs:
        learner.step = slugs[-1]
    # Whoever chose the step begins anew with it.
    learner.effort = Effort()


def go_to(learner: "Learner", step: str) -> None:
    """Put the learner at ``step``; one that was done before is then done again, not passed by the next right answer.

    ``SayitError`` for an unknown step.
    """
    data = learner.path[step]
    if learner.step != data.slug:
        for ask in learner.asks(data, needed=True):
            if skill := learner.skills.get(skill_name(data.slug, ask)):
                skill.seen, skill.right, skill.recent = 0, 0, []
    learner.step = data.slug


def look(learner: "Learner", at: float) -> None:
    """Where a sitting begins at that time: after two hard ones in a row step back to where things succeed."""
    effort = learner.effort
    if at - effort.last <= PAUSE:
        return
    if effort.asked >= FEWEST:
        effort.hard = effort.hard + 1 if effort.right < HARD * effort.asked else 0
    effort.asked = effort.right = 0
    here = learner.path.index(learner.step)
    if effort.hard >= HARD_SITTINGS and here:
        effort.hard, effort.back = 0, effort.back or learner.step
        go_to(learner, learner.path.slugs[_where_it_succeeds(learner, here)])


def _where_it_succeeds(learner: "Learner", here: int) -> int:
    """The latest step before ``here`` at which most answers were right; half-way to the start where nothing is known.

    Never past the first step at which most were missed.
    """
    tried: dict[int, list[bool]] = {}
    for name, skill in learner.skills.items():
        slug, ask = split_skill(name)
        if split(ask)[0].counts and slug in learner.path.slugs:
            tried.setdefault(learner.path.index(slug), []).extend(shown != "missed" for shown, _ in skill.recent)
    known = {at: sum(right) / len(right) for at, right in tried.items() if len(right) > 1 and at < here}
    wall = min((at for at, share in known.items() if share < 0.5), default=here)
    good = [at for at, share in known.items() if share >= _SUCCEEDS and at < wall]
    return max(good) if good else max(min(wall - 1, here // 2), 0)


def tomorrow(learner: "Learner", at: float) -> "Learner":
    """The learner as the sitting at that time will find it; a copy where that differs."""
    if learner.effort.hard < HARD_SITTINGS - 1:
        return learner
    learner = type(learner).from_dict(learner.to_dict())
    look(learner, at)
    return learner


def how_to_go_on(learner: "Learner") -> str:
    """What to tell the parent of a child who has come to the end of the path."""
    limit = learner.path.limit
    if limit >= HIGHEST:
        return "Everything on the path is done. What a lovely long way that was!"
    return (
        f"Everything up to {limit:,} is done: a lovely long way! To go on, set a larger number for the child, "
        f"up to {HIGHEST:,}; the next step then begins by itself."
    )


def way_back(learner: "Learner") -> str:
    """A sentence for the parent of a child that stepped back; "" for any other."""
    path, back = learner.path, learner.effort.back
    if not back or back not in path.slugs or path.index(back) <= path.index(learner.step):
        return ""
    here, next_ = path[learner.step].title, path.steps[path.index(learner.step) + 1].title
    then = f" “{next_}” comes next, and so step by step back to" if next_ != path[back].title else " Then comes"
    return f"“{path[back].title}” was too hard just now, so we go on at “{here}”, where things go well.{then} “{path[back].title}”."
