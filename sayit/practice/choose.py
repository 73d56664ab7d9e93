"""Which skill and which number to ask next.

A choice weighs how far a skill is from fluent, how many of its items are due,
and which reasons for misses are open; it draws, so that two sittings differ, but
from a random source that the caller seeds. Mixing skills instead of drilling one
follows Rohrer & Taylor (2007), "The shuffling of mathematics problems improves
learning", Instructional Science 35.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from random import Random

from sayit.practice import mastery
from sayit.practice.activities import make_question, number_for, split
from sayit.practice.activities.say_back import SAY_BACK
from sayit.practice.aims import CLOSING, Aim
from sayit.practice.flow import Flow
from sayit.practice.key import skill_name, split_item
from sayit.practice.learner import Learner
from sayit.practice.path import Step
from sayit.practice.question import Question, said

WARM_UP = 2
"""How many easy questions a sitting begins with."""

_BEHIND = 0.25
_LIKELY = 0.85
_UNKNOWN = 0.7
_AIM_SHARE = 0.35
_PATTERN_SHARE = 0.6
_MEND_SHARE = 0.5
_LOOK_SHARE = 0.35
_REST = 3600.0
"""Seconds for which an item just asked is left to the sitting's own repeats."""


@dataclass(slots=True)
class Candidate:
    """A skill that can be asked.

    ``weight`` is how much it needs practice, ``repair`` how much of that is for mending what
    went wrong and for what is due, ``chance`` how likely a right answer is (0 to 1), ``due`` its due
    items, ``seen`` its answers so far, ``needed`` whether mastery depends on it.
    """

    step: Step
    ask: str
    weight: float
    repair: float
    chance: float
    due: list[str] = field(default_factory=list)
    seen: int = 0
    needed: bool = True

    @property
    def skill(self) -> str:
        """Step and way of asking, as ``Question.skill``."""
        return skill_name(self.step.slug, self.ask)


def candidates(learner: Learner, at: float) -> list[Candidate]:
    """All skills up to the child's step, with their weights at that time; skipped steps left out."""
    path = learner.path
    due: dict[str, list[str]] = {}
    for key in learner.due(at):
        due.setdefault(split_item(key)[0], []).append(key)
    found = []
    for step in path.steps[: path.index(learner.step) + 1]:
        here = step.slug == learner.step
        if step.slug in learner.skipped and not here:
            continue
        needed = learner.asks(step, needed=True)
        for ask in learner.asks(step):
            name = skill_name(step.slug, ask)
            activity = split(ask)[0]
            belief = learner.belief(name, at)
            waiting = due.get(name, [])
            weight = (1 - belief[2]) * (1.0 if here else _BEHIND)
            weight *= (1.0 if ask in needed else 0.35) * (1.0 if activity.counts else 0.3)
            # Where things are still there when they come back, a few of them will do, not all.
            skill = learner.skill(name)
            repair = 0.6 * min(len(waiting), 5) * (1.02 - skill.kept)
            repair += 0.3 * min(len(learner.weak.get(name, ())), 4)
            repair += 0.5 * min(sum(learner.trouble(name, at).values()), 3.0)
            chance = mastery.right_chance(belief, mastery.Rates(guess=activity.guess))
            found.append(Candidate(step, ask, weight + repair, repair, chance, waiting, skill.seen, ask in needed))
    return found


def fresh(learner: Learner, aim: Aim, flow: Flow, now: datetime, random: Random) -> Question:
    """The next question where none waits: easy ones to begin with, after misses and now and then, else what is needed."""
    found = candidates(learner, now.timestamp())
    gap = 2 if flow.levels[-6:].count("missed") >= 2 else 4
    easy = flow.easy_next > 0 or flow.asked < WARM_UP or flow.since_easy >= gap
    if easy:
        flow.easy_next, flow.since_easy = max(flow.easy_next - 1, 0), 0
        chosen = pick_easy(_below(found, learner, flow), random, flow.skills)
    else:
        flow.since_easy += 1
        chosen = pick_hard(found, random, aim.focus, bool(aim.reason), flow.skills)
    return question_for(chosen, learner, random, _avoid(chosen, flow), now, purpose="easy" if easy else None)


def closing(learner: Learner, aim: Aim, flow: Flow, random: Random) -> list[Question]:
    """The closing questions: all of the aim's skill, the number missed last among them."""
    step = learner.path[aim.step]
    numbers = [question.about[0] for question in reversed(flow.missed) if question.skill == aim.skill][:1]
    while len(numbers) < CLOSING:
        number = number_for(step, aim.ask, random, (*numbers, *flow.numbers[-2:]))
        numbers.append(number if number is not None else numbers[-1])
    first, *rest = [make_question(step, aim.ask, number, random, "closing") for number in numbers]
    return [replace(first, say=(said("closing.start"), *first.say)), *rest]


def last(learner: Learner, flow: Flow, now: datetime, random: Random) -> Question:
    """Something easy to end with, so that nobody leaves with a miss."""
    if flow.finishing >= 2:
        # An echo of a small number.
        first = learner.path.steps[0]
        return make_question(first, SAY_BACK.called("plain"), first.numbers.pick(random), random, "finish")
    chosen = pick_easy(_below(candidates(learner, now.timestamp()), learner, flow), random, flow.skills)
    return question_for(chosen, learner, random, _avoid(chosen, flow), now, purpose="finish")


def _below(found: Sequence[Candidate], learner: Learner, flow: Flow) -> Sequence[Candidate]:
    """After two misses in a row only what lies half-way back to the start from the lowest of them, as often as it takes."""
    if flow.run() < 2:
        return found
    path = learner.path
    lowest = min(path.index(question.step) for question in flow.missed[-flow.run() :])
    return [candidate for candidate in found if path.index(candidate.step.slug) <= lowest // 2] or found


def _avoid(candidate: Candidate, flow: Flow) -> Sequence[int]:
    """The last few numbers, and those that come back anyway."""
    room = min(4, len(candidate.step.numbers) // 2)
    waiting = [one.question.about[0] for one in flow.returns if one.question.skill == candidate.skill]
    return (*waiting, *(flow.numbers[-room:] if room else ()))


def question_for(
    candidate: Candidate,
    learner: Learner,
    random: Random,
    avoid: Sequence[int],
    now: datetime,
    *,
    purpose: str | None = None,
) -> Question:
    """A question of that skill: a weak item, a due one, or a fresh number.

    What was asked within the last hour is left to the sitting's own repeats. With a ``purpose`` of
    its own ("easy", "finish") it is any number that is not weak.
    """
    number, why = None, "new"
    weak = learner.weak.get(candidate.skill, ())
    if purpose:
        avoid = (*avoid, *(int(name) for _, name in map(split_item, weak) if name.isdigit()))
        if sure := [key for key in candidate.due if key not in weak]:
            number = _number_of(sure[0], candidate, random, avoid)
    else:
        rested = [key for key in weak if now.timestamp() - learner.items[key].last > _REST]
        if rested and random.random() < 0.6:
            number, why = _number_of(random.choice(rested), candidate, random, avoid), "due"
        elif candidate.due and random.random() < 0.85:
            number, why = _number_of(candidate.due[0], candidate, random, avoid), "due"
    if number is None or number in avoid:
        number, why = number_for(candidate.step, candidate.ask, random, avoid), "new"
    if number is None:
        raise ValueError(f"{candidate.skill} was chosen though no number suits it")
    return make_question(candidate.step, candidate.ask, number, random, purpose or why)


def _number_of(key: str, candidate: Candidate, random: Random, avoid: Sequence[int]) -> int | None:
    _, name = split_item(key)
    return number_for(candidate.step, candidate.ask, random, avoid, None if name == "pair" else name)


def pick_hard(
    found: Sequence[Candidate], random: Random, focus: Sequence[str], pattern: bool, recent: Sequence[str]
) -> Candidate:
    """A skill that needs practice.

    ``focus`` are the skills of today's aim: a third of the questions are theirs, more where they
    belong to a ``pattern`` of misses. Of the rest some mend what went wrong anywhere on the path or is
    due, some look at what was hardly asked yet, however much else there is. The last two
    kinds come only for want of others.
    """
    open_ = [candidate for candidate in found if candidate.skill not in recent[-2:]] or list(found)
    drawn = random.random()
    focused = [candidate for candidate in open_ if candidate.skill in focus]
    aim_share = _PATTERN_SHARE if pattern else _AIM_SHARE
    if focused and drawn < aim_share:
        return _weighted(focused, [candidate.weight for candidate in focused], random)
    rest = (drawn - aim_share) / (1 - aim_share)
    mending = [candidate for candidate in open_ if candidate.repair > 0]
    unknown = [candidate for candidate in open_ if candidate.needed and candidate.seen < 1]
    if mending and rest < _MEND_SHARE:
        return _weighted(mending, [candidate.repair for candidate in mending], random)
    if unknown and rest < _MEND_SHARE + _LOOK_SHARE:
        return random.choice(unknown)
    return _weighted(open_, [candidate.weight for candidate in open_], random)


def _weighted(found: Sequence[Candidate], weights: Sequence[float], random: Random) -> Candidate:
    return random.choices(found, [weight + 1e-6 for weight in weights])[0]


def pick_easy(found: Sequence[Candidate], random: Random, recent: Sequence[str]) -> Candidate:
    """A skill that will most likely go well.

    Among those, skills that lie behind the child and were hardly asked yet come first: an easy
    question then also looks for gaps. Where nothing is likely, one of the three likeliest.
    """
    open_ = [candidate for candidate in found if candidate.skill not in recent[-1:]] or list(found)
    likely = [candidate for candidate in open_ if candidate.chance >= _LIKELY]
    # What is due and will most likely go well is seen to in passing.
    likely = [candidate for candidate in likely if candidate.due] or likely
    unknown = [
        candidate for candidate in open_ if candidate.needed and candidate.seen < 2 and candidate.chance >= _UNKNOWN
    ]
    if unknown and random.random() < 0.6:
        return random.choice(unknown)
    return random.choice(likely or sorted(open_, key=lambda candidate: -candidate.chance)[:3])
