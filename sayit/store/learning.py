"""From the record to the learner: where a child stands after all that was answered."""

from datetime import datetime

from sayit.errors import SayitError
from sayit.practice.activities import asks
from sayit.practice.learner import Learner, Past, fold
from sayit.practice.path import load_path
from sayit.store.entries import Answer, Child, Placement
from sayit.store.record import Record

_WORTH_KEEPING = 100
"""So many new answers make it worth keeping the learner again."""


def past(answer: Answer) -> Past | None:
    """An answer as the learner takes it in; None where a parent set it aside."""
    return _past(
        answer.id,
        answer.judged_at,
        answer.question,
        answer.verdict,
        answer.override,
        answer.reasons,
        answer.response_seconds,
    )


def learner_of(record: Record, child: Child, *, keep: bool = True) -> Learner:
    """The child's learner after every answer and placement in the record.

    A learner kept before is gone on from; with ``keep`` it is kept again where many
    answers are new. A child without a placement starts at the path's first step.
    Answers to questions outside the path do not count.
    """
    placements = record.placements(child)
    learner, answer, placed = _kept(record, child) or (None, 0, 0)
    if learner is None:
        learner = Learner(step=load_path().slugs[0])
        answer = placed = 0
    waiting = list(placements[placed:])
    count = 0
    for row in record.pasts(child, answer):
        while waiting and waiting[0].at <= row[1]:
            settle(learner, waiting.pop(0))
        answer, count = row[0], count + 1
        if one := _past(*row):
            try:
                fold(learner, one)
            except (SayitError, ValueError):
                continue
    # What is not past yet at the last answer holds from the next one on.
    for placement in waiting:
        settle(learner, placement)
    if keep and count >= _WORTH_KEEPING:
        record.keep_learner_state(child, learner.to_dict(), answer, len(placements))
    return learner


def settle(learner: Learner, placement: Placement) -> None:
    """Let a placement hold from now on; unknown steps (of a larger limit, say) leave the step as it is."""
    learner.limit, learner.pace, learner.skipped = placement.limit, placement.pace, placement.skipped
    slugs = learner.path.slugs
    if placement.step in slugs:
        go_to(learner, placement.step)
    elif learner.step not in slugs:
        learner.step = slugs[-1]


def go_to(learner: Learner, step: str) -> None:
    """Put the learner at ``step``; one that was done before is then done again, not passed by the next right answer.

    ``SayitError`` for an unknown step.
    """
    data = learner.path[step]
    if learner.step != data.slug:
        for ask in asks(data, needed=True):
            if skill := learner.skills.get(f"{data.slug}/{ask}"):
                skill.seen, skill.right, skill.recent = 0, 0, []
    learner.step = data.slug


def _past(
    _id: int | None,
    at: datetime,
    key: str,
    verdict: str,
    override: str | None,
    reasons: tuple[str, ...],
    seconds: float | None,
) -> Past | None:
    if override in ("again", "skip"):
        return None
    final = override or verdict
    # A parent who says "right" takes the reasons back too.
    return Past(at, key, final, reasons if final == verdict else (), seconds)


def _kept(record: Record, child: Child) -> tuple[Learner, int, int] | None:
    found = record.learner_state(child)
    if not found:
        return None
    state, answer, placed = found
    try:
        if state["version"] != Learner(step=state["step"]).to_dict()["version"]:
            return None
        return Learner.from_dict(state), answer, placed
    except (KeyError, TypeError, ValueError):
        return None
