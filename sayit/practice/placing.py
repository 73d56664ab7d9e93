"""Where on the path a child is put, by a parent or by a placement."""

from sayit.practice.activities import asks
from sayit.practice.key import skill_name
from sayit.practice.learner import Learner


def settle(learner: Learner, step: str, limit: int | None, pace: float, skipped: tuple[str, ...]) -> None:
    """Let a placement hold from now on; unknown steps (of a larger limit, say) leave the step as it is."""
    learner.limit, learner.pace, learner.skipped = limit, pace, skipped
    slugs = learner.path.slugs
    if step in slugs:
        go_to(learner, step)
    elif learner.step not in slugs:
        learner.step = slugs[-1]


def go_to(learner: Learner, step: str) -> None:
    """Put the learner at ``step``; one that was done before is then done again, not passed by the next right answer.

    ``SayitError`` for an unknown step.
    """
    data = learner.path[step]
    if learner.step != data.slug:
        for ask in asks(data, needed=True):
            if skill := learner.skills.get(skill_name(data.slug, ask)):
                skill.seen, skill.right, skill.recent = 0, 0, []
    learner.step = data.slug
