"""Finding a child's place on the path in five minutes, by asking.

A probability for each step that it is the child's first one not yet mastered is
updated by Bayes' rule after each answer, and the step asked next is the one whose
answer is expected to tell most (the adaptive staircase of Watson & Pelli 1983,
"QUEST", Perception & Psychophysics 33, with the choice by information of
Kontsevich & Tyler 1999, Vision Research 39). It begins with something easy for the child's age, or for
how far it counts, and climbs from there: nothing comes more than three steps above what was right. After two misses
in a row something easy comes, and it ends on a success.
"""

import math
from dataclasses import dataclass, replace
from datetime import datetime
from random import Random

from sayit.practice.activities import make_question, number_for, split
from sayit.practice.guide import Outcome, Result, check_correction
from sayit.practice.key import skill_name
from sayit.practice.learner import Learner, Past
from sayit.practice.mastery import level
from sayit.practice.question import Question, Response, Said
from sayit.practice.replies import reply
from sayit.practice.unheard import Unheard, judge_open, take_unheard

MINUTES = 5.0
MOST_QUESTIONS = 30
SURE = 0.9
"""Probability of one step from which on asking further is not worth a child's time."""

_LIKELY = 0.5
"""A place that the time ran out on counts where it is likelier than all others together."""

# Chance of a right answer: well behind the child's place, at it, and past it. Ours, not
# fitted; a right answer that came slowly counts half as much as a quick one.
_BEHIND, _AT, _PAST = 0.93, 0.45, 0.12
_SLOW = 0.5
_MOST_PASSED = 6
_CLIMB = 3
"""So many steps higher something may come after a right answer."""


@dataclass(frozen=True, slots=True)
class _Undo:
    """How all stood before the last answer, and the answer itself."""

    question: Question
    response: Response
    at: datetime
    belief: list[float]
    levels: int
    unheard: Unheard
    reach: int


class PlacementGuide:
    """The guide that looks for a child's place. Made by ``lead_placement``."""

    whose = 0
    ends_itself = True

    def __init__(self, learner: Learner, now: datetime, seed: int, minutes: float = MINUTES, start: int = 0) -> None:
        self.learner = learner
        self.path = learner.path
        self.started = now
        self.minutes = minutes
        self.asked = 0
        self._reach = min(start, len(self.path) - 1)
        self.belief = [1 / len(self.path)] * len(self.path)
        self._random = Random(seed)
        self._current: Question | None = None
        self._levels: list[str] = []
        self._numbers: list[int] = []
        self._unheard = Unheard()
        self._passed = 0
        self._last_asks: list[str] = []
        self._ending = False
        self._ended = False
        self._undo: _Undo | None = None

    @property
    def step(self) -> str:
        """The likeliest place so far: the step that half of the probability lies at or before."""
        total = 0.0
        for slug, share in zip(self.path.slugs, self.belief, strict=True):
            total += share
            if total >= 0.5:
                return slug
        return self.path.slugs[-1]

    @property
    def sure(self) -> float:
        """Probability of the likeliest step, 0 to 1."""
        return max(self.belief)

    @property
    def found(self) -> bool:
        """Whether the place is sure enough to go on from."""
        return self.asked > 0 and self.sure >= (_LIKELY if self._ended else SURE)

    @property
    def answers(self) -> int:
        """Answers that counted so far."""
        return len(self._levels)

    def next_question(self, now: datetime) -> Question | None:
        """What to ask now, or None when the place is found or the time is up."""
        if self._current is None and not self._done(now):
            self._current = self._ask(self._where())
            self.asked += 1
            self._numbers = [*self._numbers, *self._current.about][-4:]
            self._last_asks = [*self._last_asks, self._current.skill][-3:]
        self._ended = self._current is None
        return self._current

    @property
    def prompt(self) -> tuple[Said, ...]:
        """What to say for the open question."""
        return self._unheard.prompt(self._current)

    def take(self, response: Response, now: datetime) -> Outcome:
        """Judge the response to the open question."""
        question = self._current
        if question is None:
            raise ValueError("no question is open: call next_question first")
        self._undo = _Undo(question, response, now, list(self.belief), len(self._levels), self._unheard, self._reach)
        return self._take(question, response, now)

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """The parent's correction of the last answer."""
        check_correction(verdict)
        if (undo := self._undo) is None:
            return None
        self.belief, self._current, self._unheard = list(undo.belief), undo.question, undo.unheard
        self._reach = undo.reach
        del self._levels[undo.levels :]
        if verdict in ("right", "wrong"):
            return self._take(undo.question, replace(undo.response, verdict=verdict), undo.at)
        if verdict == "skip":
            self.skip(now)
        return None

    def skip(self, now: datetime) -> None:
        """Leave the open question without an answer."""
        self._current, self._unheard = None, self._unheard.left()

    def pass_over(self, now: datetime) -> None:
        """Leave the open question, which cannot be asked here; it does not use up one of those that may be asked."""
        self.asked -= self._current is not None
        self._passed += 1
        # Where nothing easy can be asked here (without a screen, say), something a little higher must do.
        if self._passed % _MOST_PASSED == 0:
            self._reach = min(self._reach + 1, len(self.path) - 1)
        self.skip(now)

    def results(self) -> tuple[Result, ...]:
        """None: a search has no aim."""
        return ()

    def _take(self, question: Question, response: Response, now: datetime) -> Outcome:
        judgement = judge_open(self._unheard, question, response)
        if judgement.verdict == "unclear":
            self._unheard, outcome = take_unheard(
                self._unheard, question, judgement, response, both=self.learner.knows_both(question.step)
            )
            if not self._unheard.unclear:
                self._current = None
            return outcome
        self._current, self._unheard, self._passed = None, Unheard(), 0
        # The other form shows that the number is known; only its second name is not.
        verdict = "right" if judgement.verdict == "other-form" else judgement.verdict
        shown = level(verdict, response.response_seconds, question.seconds * self.learner.pace)
        self._levels.append(shown)
        at = self.path.index(question.step)
        if shown != "missed":
            self._reach = min(max(self._reach, at + (1 if shown == "slow" else _CLIMB)), len(self.path) - 1)
        guess = split(question.ask)[0].guess
        weighed = [share * self._likely(place, at, shown, guess) for place, share in enumerate(self.belief)]
        self.belief = [share / sum(weighed) for share in weighed]
        past = Past(now, question.key, judgement.verdict, judgement.reasons, response.response_seconds)
        return Outcome(question, judgement, shown, reply(question, judgement, shown), past=past)

    def _done(self, now: datetime) -> bool:
        if self._unheard.calls:
            return True
        late = (now - self.started).total_seconds() >= self.minutes * 60
        enough = self.sure >= SURE or late or self.asked >= MOST_QUESTIONS
        happy = not self._levels or self._levels[-1] != "missed"
        # Two more questions at most to leave with a success.
        self._ending = enough
        return enough and (happy or self._levels[-3:].count("missed") == 3 or self.asked >= MOST_QUESTIONS + 2)

    def _where(self) -> int:
        if self._ending or self._levels[-2:] == ["missed", "missed"]:
            return self._safe()
        spread = [self._expected(at) for at in range(self._reach + 1)]
        return min(range(len(spread)), key=spread.__getitem__)

    def _safe(self) -> int:
        """The latest step that the child is past with 90 % probability; the first one if none."""
        total, at = 0.0, 0
        for place, share in enumerate(self.belief):
            total += share
            if total > 0.1:
                return max(min(at, place - 1), 0)
            at = place
        return at

    def _expected(self, at: int) -> float:
        """Expected entropy of the belief after a question at that step."""
        total = 0.0
        for shown in ("untimed", "missed"):
            weighed = [share * self._likely(place, at, shown, 0.1) for place, share in enumerate(self.belief)]
            chance = sum(weighed)
            total -= sum(w * math.log(w / chance) for w in weighed if w > 0)
        return total

    @staticmethod
    def _likely(place: int, at: int, shown: str, guess: float) -> float:
        right = _BEHIND if at < place else _AT if at == place else max(_PAST, guess)
        if shown == "missed":
            return 1 - right
        if shown == "slow":
            # Slow and right is what somebody still learning it does.
            return right * (_SLOW if at < place else 1.0)
        return right

    def _ask(self, at: int) -> Question:
        step = self.path.steps[at]
        kinds = self.learner.asks(step, needed=True)
        fresh = [ask for ask in kinds if skill_name(step.slug, ask) not in self._last_asks]
        ask = self._random.choice(fresh or kinds)
        number = number_for(step, ask, self._random, self._numbers)
        if number is None:
            raise ValueError(f"{skill_name(step.slug, ask)} was chosen though no number suits it")
        return make_question(step, ask, number, self._random, "placement")


def lead_placement(
    learner: Learner, now: datetime, *, seed: int, minutes: float = MINUTES, start: str = ""
) -> PlacementGuide:
    """Begin looking for a child's place at the step ``start`` ("": the first); ``learner`` stays as it is."""
    path = learner.path
    return PlacementGuide(learner, now, seed, minutes, path.index(start) if start in path.slugs else 0)


def easy_start(counts_to: int | None, years: float | None) -> str:
    """The step to begin looking at: easy for one who counts that far, else for that age; the first where neither is known.

    One step or more below what the public standards of the path expect at that age (England: five to six years in
    Year 1, six to seven in Year 2), because an easy beginning costs a question and a hard one a child's trust (ours).
    """
    for most, age, slug in _STARTS:
        if (counts_to is not None and counts_to >= most) or (counts_to is None and years is not None and years >= age):
            return slug
    return ""


_STARTS = (
    (1_000, 9, "hundreds"),
    (100, 8, "tens-and-ones"),
    (40, 7, "teens"),
    (20, 6, "pairs-to-ten"),
    (10, 5.5, "five-and-some"),
)
"""Who counts so far, or is so many years old, begins at that step."""


def placed(guide: PlacementGuide) -> tuple[str, tuple[str, ...]]:
    """The step to put the child at, and the steps that are skipped from then on: the child's own, without that step."""
    return guide.step, tuple(slug for slug in guide.learner.skipped if slug != guide.step)
