"""Today's aim: the one thing that a sitting is for, and whether it was met."""

from dataclasses import dataclass

from sayit.numbers import reason_of
from sayit.practice.activities import split
from sayit.practice.key import skill_name, split_skill
from sayit.practice.learner import Learner
from sayit.practice.path import Step
from sayit.practice.patterns import patterns

KEPT = 0.85
"""Share of items that must still be there on another day; below it a skill goes on being an aim (ours)."""


@dataclass(frozen=True, slots=True)
class Aim:
    """One way of asking at one step, as a ``sentence`` for the parent, and ``why`` it is today's.

    ``focus`` are all skills that serve it: itself, and where a ``reason`` for misses keeps coming,
    the others that it touches.
    """

    step: str
    ask: str
    sentence: str
    why: str
    focus: tuple[str, ...] = ()
    reason: str = ""

    @property
    def skill(self) -> str:
        """That way of asking at that step, as one name."""
        return skill_name(self.step, self.ask)

    @property
    def fluent(self) -> bool:
        """Whether it is only kept up."""
        return self.why == _STATE["fluent"]


def ranked(learner: Learner, at: float) -> list[Aim]:
    """All that can be an aim at the child's step and before, most pressing first.

    First what keeps being missed for one reason, then what is shaky, has several weak items or does not stay from day to
    day, then what is right but slow at the child's own step, then what is new, then what is right but slow behind it, then
    what is fluent; at the child's own step before others. Never empty.
    """
    path = learner.path
    here = path.index(learner.step)
    aims = []
    for pattern in patterns(learner, at):
        slug, ask = split_skill(pattern.skills[0])
        why = f"lately {reason_of(pattern.reason).because}"
        aims.append(_aim(path[slug], ask, why, pattern.skills, pattern.reason))
    found: list[tuple[tuple[int, int, int], Aim]] = []
    for place, step in enumerate(path.steps[: here + 1]):
        if step.slug in learner.skipped and place != here:
            continue
        for ask in learner.asks(step, needed=True):
            name = skill_name(step.slug, ask)
            seen = learner.skill(name).seen
            # What lies behind and was hardly asked is looked at in passing; it is no aim.
            if place != here and seen < 2:
                continue
            state = learner.status(name, at)
            order = ("shaky", "known", "new", "slow behind", "fluent").index(state)
            why = _STATE[state]
            if state == "known" and len(learner.weak.get(name, ())) >= _several(len(step.numbers)):
                order, why = 0, "some of its numbers do not come yet"
            elif state == "known" and place != here:
                order = 3
            if state in ("known", "fluent") and learner.skill(name).kept < KEPT:
                order, why = 0, "it is right on the day, but does not stay yet"
                if split(ask)[0].seen:
                    why = "it is not seen at once on every day yet"
            found.append(((order, here - place, len(found)), _aim(step, ask, why, (name,))))
    return aims + [aim for _, aim in sorted(found, key=lambda entry: entry[0])]


def _several(numbers: int) -> int:
    """How many weak items make a skill an aim: a fifth of its numbers, at most three."""
    return min(3, max(1, numbers // 5))


def aim_of(learner: Learner, at: float) -> Aim:
    """The most pressing aim."""
    return ranked(learner, at)[0]


_STATE = {
    "shaky": "it is not sure yet",
    "known": "it is right every time, not yet at once",
    "new": "it is the next new thing",
    "fluent": "it is fluent, and stays so by coming back",
}


_EXACT = {
    "next-door:next": "hears a number and says the one after it",
    "next-door:before": "hears a number and says the one just before it",
    "next-door:ten-more": "hears a number and says ten more",
    "next-door:ten-less": "hears a number and says ten less",
    "tens-in:hundreds": "hears a number and says how many hundreds are in it",
    "other-way:explicit": "hears the everyday name of a number and says its tens name",
    "other-way:plain": "hears the tens name of a number and says its everyday name",
    "build:explicit": "hears the tens name of a number and puts its digits down",
    "read-out:explicit": "sees digits and says the tens name of the number",
    "claps:count": "claps the name of a number and says how many claps it has",
    "claps:digits": "claps the name of a number and tells its digits",
}
"""What an aim says where the activity's own words name several kinds."""


def _aim(step: Step, ask: str, why: str, focus: tuple[str, ...], reason: str = "") -> Aim:
    activity, variant = split(ask)
    how = ", by its tens name" if variant == "explicit" else ""
    return Aim(
        step.slug, ask, f"{step.title}. The child {_EXACT.get(ask, f'{activity.says}{how}')}.", why, focus, reason
    )


@dataclass(frozen=True, slots=True)
class Closing:
    """The three closing questions: ``asked`` and ``right`` of them, ``quick`` how many came at once.

    ``met`` is "met" (all right), "nearly" (all but one), "not yet", or "not asked" where
    the sitting ended early.
    """

    aim: Aim
    asked: int
    right: int
    quick: int

    @property
    def met(self) -> str:
        """How they went, in a word."""
        if self.asked < CLOSING:
            return "not asked"
        return {0: "met", 1: "nearly"}.get(self.asked - self.right, "not yet")


CLOSING = 3
"""How many closing questions there are."""
