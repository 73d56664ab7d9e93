"""How one child's sitting stands: what was asked, what waits to come back, and whether the child tires."""

from copy import copy
from dataclasses import dataclass, field, replace
from datetime import datetime
from statistics import median

from sayit.practice.question import Question
from sayit.practice.unheard import Unheard

LATER_SECONDS = 180.0
"""After how many seconds a question that must come at once is asked again, until it does."""

MOST_RETURNS = 4
MOST_MISSES = 2
"""A question missed so often in one sitting is left for another day."""

TOO_HARD_RUN = 6
WINDOW, MISSES, MORE = 8, 5, 2
"""Tiring is a trend: in the last eight answers five misses, and two more than in the eight before (ours)."""

SLOWED, SLOWING = 1.8, 1.3
"""Response times so many times the child's own usual ones in the same skills, in the last eight and in the eight before (ours)."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """A question that comes back after so many were ``asked``, or at the time ``when`` (seconds since 1970, UTC)."""

    question: Question
    asked: float = float("inf")
    when: float = float("inf")


@dataclass(slots=True)
class Flow:
    """All that changes while a sitting goes on, so that one answer can be taken back.

    ``stage`` is "main", "closing", "finish" or "over", ``because`` why it came to its end. ``levels`` are
    what the answers showed, ``first`` those to questions that were not just missed, ``stretch`` their seconds as shares of the usual ones, ``misses`` counts them by ``Question.key``,
    ``unheard`` what could not be judged lately.
    """

    stage: str = "main"
    because: str = ""
    current: Question | None = None
    detours: list[Question] = field(default_factory=list)
    returns: list[Waiting] = field(default_factory=list)
    skills: list[str] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)
    levels: list[str] = field(default_factory=list)
    first: list[str] = field(default_factory=list)
    stretch: list[float] = field(default_factory=list)
    asked: int = 0
    easy_next: int = 0
    since_easy: int = 0
    repeats: dict[str, int] = field(default_factory=dict)
    closing: list[Question] = field(default_factory=list)
    closed: list[str] = field(default_factory=list)
    finishing: int = 0
    counted: bool = False
    missed: list[Question] = field(default_factory=list)
    misses: dict[str, int] = field(default_factory=dict)
    unheard: Unheard = field(default_factory=Unheard)

    def copied(self) -> "Flow":
        """A copy that goes on by itself."""
        new = copy(self)
        for name in self.__slots__:
            value = getattr(self, name)
            if isinstance(value, list | dict):
                setattr(new, name, value.copy())
        return new

    def open(self, question: Question) -> None:
        """``question`` is asked now."""
        self.current = question
        self.asked += 1
        self.skills = [*self.skills, question.skill][-4:]
        self.numbers = [*self.numbers, *question.about][-6:]

    def close(self) -> None:
        """The open question is settled, or left."""
        self.current, self.unheard = None, self.unheard.left()

    def finish(self, reason: str) -> None:
        """Leave all that waits and come to the end."""
        self.stage, self.because = "finish", reason
        self.detours, self.returns, self.closing = [], [], []

    def come_back(self, question: Question, gap: int, *, again: bool = False) -> None:
        """Ask it again after ``gap`` other questions; one that came back before only where it is missed ``again``."""
        times = self.repeats.get(question.key, 0)
        if self._may_return(question) and (again or times <= 1):
            self._wait(Waiting(replace(question, purpose="return"), asked=self.asked + gap))

    def until_at_once(self, question: Question, now: datetime) -> None:
        """Ask it again some minutes later."""
        if self._may_return(question):
            later = now.timestamp() + LATER_SECONDS
            self._wait(Waiting(replace(question, purpose="until-at-once"), when=later))

    def _may_return(self, question: Question) -> bool:
        waits = any(waiting.question.key == question.key for waiting in self.returns)
        return not waits and not self.left(question) and self.repeats.get(question.key, 0) < MOST_RETURNS

    def _wait(self, waiting: Waiting) -> None:
        key = waiting.question.key
        self.repeats[key] = self.repeats.get(key, 0) + 1
        self.returns.append(waiting)

    def miss(self, question: Question) -> None:
        """It was missed; what was missed twice is not asked again in this sitting."""
        self.missed.append(question)
        self.misses[question.key] = self.misses.get(question.key, 0) + 1
        if self.left(question):
            self.returns = [waiting for waiting in self.returns if waiting.question.key != question.key]
            self.detours = [other for other in self.detours if other.key != question.key]

    def left(self, question: Question) -> bool:
        """Whether it is left for another day."""
        return self.misses.get(question.key, 0) >= MOST_MISSES

    def back(self, now: datetime) -> Question | None:
        """A question whose time to come back has come, or None."""
        for waiting in self.returns:
            if self.asked + 1 > waiting.asked or now.timestamp() >= waiting.when:
                self.returns.remove(waiting)
                return waiting.question
        return None

    def run(self) -> int:
        """How many answers in a row were missed up to now."""
        hits = (place for place, level in enumerate(reversed(self.levels)) if level != "missed")
        return next(hits, len(self.levels))

    def tired(self) -> str:
        """The sign of tiring, or of a sitting that is too hard, in a few words for the parent; "" for none."""
        last, before = self.first[-WINDOW:], self.first[-2 * WINDOW : -WINDOW]
        if self.run() >= TOO_HARD_RUN:
            return "several answers in a row did not come"
        if len(before) == WINDOW and last.count("missed") >= MISSES:
            if last.count("missed") - before.count("missed") >= MORE:
                return "fewer and fewer answers came"
            if before.count("missed") >= MISSES:
                return "most answers did not come today"
        late, early = self.stretch[-WINDOW:], self.stretch[-2 * WINDOW : -WINDOW]
        if len(early) == WINDOW and median(late) > SLOWED and median(early) > SLOWING:
            return "answers take much longer than this child's usual"
        return ""
