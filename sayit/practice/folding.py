"""Taking one answer into what is known of a child: what it shows, what it changes, and when a step is mastered."""

from dataclasses import replace
from functools import cache

from sayit.practice import counting, mastery, placing, spacing
from sayit.practice.activities import split
from sayit.practice.key import Key, label, skill_name, split_skill
from sayit.practice.learner import DAY, HALF_LIFE_DAYS, RECENT, RIGHT_ENOUGH, Learner, Past, Skill, rates_of
from sayit.practice.mastery import Rates
from sayit.practice.path import load_path

__all__ = ["counts_still", "finished", "fold", "mastered", "shown_by", "siblings"]

ECHO_SECONDS = 45.0
"""A right answer so soon after the tool said it proves memory for a moment, not knowledge."""

MOST_GLIMPSES = 24
_NIGHT = 28_800.0
_KEPT_WEIGHT = 0.1
_PATIENCE = 12
"""So many where some of its numbers are weak: missed or counted (ours)."""

_LOOKS = 40
"""So many where quantities are to be seen and are still counted (ours): a bound, for counting is right too."""

_COUNTS = 1.0
"""Weight of the reason "counted" from which on a quantity is still counted: once lately, or some more times before."""

_NOT_SEEN = 2.0
"""A quantity named slowly, and so many times slower than the child usually names one, was not seen at once (ours)."""

_SIBLING = 0.5
"""Share of its interval that an item waits again when the number was right in another way (ours)."""

_OWN_PACE = 1.3
"""A slow answer within so many times the child's own usual seconds says nothing against its memory (ours)."""


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
    usual, took = skill.usual, past.response_seconds
    if split(key.activity)[0].seen and shown == "slow" and usual and took and took > _NOT_SEEN * usual:
        counted = True
    weak = [other for other in learner.weak.get(name, ()) if other != item_name]
    recalled = _recalled(skill, shown, past.response_seconds)
    _learn(skill, past, shown, at, rates_of(key.activity), relieved=not weak)
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
    days = max(at - skill.last, 0.0) / DAY
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
    What is to be seen and is still counted takes more looks, for a larger quantity is made of the smaller ones seen.
    """
    data = learner.path[step]
    for ask in learner.asks(data, needed=True):
        name = skill_name(step, ask)
        skill = learner.skills.get(name)
        if skill is None or skill.seen < 3 or skill.accuracy < data.accuracy:
            return False
        state, counts = learner.status(name, at), _counts(learner, name, at)
        enough = _LOOKS if counts else _PATIENCE if learner.weak.get(name) else RIGHT_ENOUGH
        if (counts or state != "fluent") and not (state in ("known", "fluent") and skill.seen >= enough):
            return False
    return True


def counts_still(learner: Learner, step: str, at: float) -> bool:
    """Whether a quantity that is to be seen at a step is still counted."""
    return any(_counts(learner, skill_name(step, ask), at) for ask in learner.asks(learner.path[step], needed=True))


def _counts(learner: Learner, name: str, at: float) -> bool:
    seen = split(split_skill(name)[1])[0].seen
    return seen and learner.trouble(name, at).get("counted", 0.0) >= _COUNTS


def finished(learner: Learner, at: float) -> bool:
    """Whether the last step of the path is mastered."""
    return _next(learner) == learner.step and mastered(learner, learner.step, at)


def _next(learner: Learner) -> str:
    steps = learner.path.slugs
    for slug in steps[steps.index(learner.step) + 1 :]:
        if slug not in learner.skipped:
            return slug
    return learner.step
