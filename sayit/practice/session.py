"""One sitting of one child: what to ask now, and what follows from the answer.

Within a sitting a missed question comes back after three others and, once right,
again after eight (expanding gaps: Landauer & Bjork 1978, in Practical Aspects of
Memory); hard and easy alternate; signs of tiring end it, and so does the time;
the last answer is a success. Nothing here looks at a clock or a disk: ``now`` comes in with every call.
"""

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import datetime
from random import Random
from statistics import median

from sayit.numbers import Judgement
from sayit.practice import choose, counting
from sayit.practice.activities import judge_answer, make_question, number_for
from sayit.practice.aims import CLOSING, Aim, Closing, aim_of
from sayit.practice.followups import FollowUp, follow_up
from sayit.practice.learner import Before, Learner, Past, fold, remember, restore
from sayit.practice.question import Question, Response, said
from sayit.practice.replies import Outcome, model, once_more, reply

WARM_UP = 2
COMES_BACK = 3
COMES_BACK_LATER = 8
LATER_SECONDS = 180.0
"""After how many seconds "how many tens" is asked again, until it comes at once."""
MOST_RETURNS = 4
MOST_UNCLEAR = 2
TIRED_RUN = 4
TIRED_WINDOW, TIRED_MISSES = 8, 5
SLOWED = 1.8
"""Response times this many times the child's own usual ones in the same skills are a sign of tiring (ours)."""

_NO_RETURN = ("closing", "finish", "follow-up")


@dataclass(slots=True)
class _Flow:
    """All that changes while a sitting goes on, so that one answer can be taken back."""

    stage: str = "main"
    because: str = ""
    current: Question | None = None
    detours: list[Question] = field(default_factory=list)
    returns: list[tuple[int, float, int, Question]] = field(default_factory=list)
    skills: list[str] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)
    levels: list[str] = field(default_factory=list)
    stretch: list[float] = field(default_factory=list)
    asked: int = 0
    easy_next: int = 0
    since_easy: int = 0
    unclear: int = 0
    repeats: dict[str, int] = field(default_factory=dict)
    closing: list[Question] = field(default_factory=list)
    closed: list[str] = field(default_factory=list)
    finishing: int = 0
    counted: bool = False
    missed: list[Question] = field(default_factory=list)

    def copied(self) -> "_Flow":
        new = copy(self)
        for name in self.__slots__:
            value = getattr(self, name)
            if isinstance(value, list | dict):
                setattr(new, name, value.copy())
        return new


class Session:
    """A sitting that goes on. Made by ``start_session``; ask ``next_question`` and give ``take`` the answer."""

    def __init__(self, learner: Learner, now: datetime, seed: int, minutes: float, aim: Aim) -> None:
        self.learner = learner
        self.aim = aim
        self.started = now
        self.minutes = minutes
        self._random = Random(seed)
        self._flow = _Flow()
        self._undo: tuple[Before, _Flow, tuple, Question, Response, datetime] | None = None

    @property
    def over(self) -> bool:
        """Whether there is nothing more to ask."""
        return self._flow.stage == "over"

    @property
    def stage(self) -> str:
        """ "main", "closing", "finish" or "over"."""
        return self._flow.stage

    @property
    def because(self) -> str:
        """Why the sitting came to its end, in a few words for the parent; "" before that."""
        return self._flow.because

    @property
    def asked(self) -> int:
        """Questions asked so far."""
        return self._flow.asked

    @property
    def in_detour(self) -> bool:
        """Whether the next question belongs to the last one: a detour, or asking again what was not clear."""
        return bool(self._flow.detours or self._flow.current)

    @property
    def closing(self) -> Closing:
        """How the closing questions went so far."""
        levels = self._flow.closed
        return Closing(self.aim, len(levels), sum(level != "missed" for level in levels), levels.count("fluent"))

    def next_question(self, now: datetime) -> Question | None:
        """What to ask now, or None when the sitting is over. Asked twice without an answer it says the same."""
        flow = self._flow
        if flow.current is None and flow.stage != "over":
            self._turn_stage(now)
            question = self._choose(now)
            if question is not None:
                flow.current = question
                flow.asked += 1
                flow.skills = [*flow.skills, question.skill][-4:]
                flow.numbers = [*flow.numbers, *question.about][-6:]
        return flow.current

    def wind_down(self, reason: str = "you asked to stop") -> None:
        """Leave new things and come to an end with a success; ``reason`` is told to the parent."""
        flow = self._flow
        if flow.stage in ("main", "closing"):
            flow.stage, flow.because = "finish", reason
            flow.detours, flow.returns, flow.closing = [], [], []

    def take(self, answer: Response, now: datetime) -> Outcome:
        """Judge the answer to the current question and take it in. ValueError when nothing was asked."""
        question = self._flow.current
        if question is None:
            raise ValueError("no question is open: call next_question first")
        self._undo = (
            remember(self.learner, question.key),
            self._flow.copied(),
            self._random.getstate(),
            question,
            answer,
            now,
        )
        return self._take(question, answer, now)

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """The parent's correction of the last answer: "right", "wrong", "again" (ask it once more) or "skip".

        What the first judgement changed is taken back first. None for "again" and
        "skip". ValueError when there is no answer to correct or the verdict is none of these.
        """
        if self._undo is None:
            raise ValueError("there is no answer to correct")
        if verdict not in ("right", "wrong", "again", "skip"):
            raise ValueError(f"{verdict!r} is no correction: right, wrong, again or skip")
        before, flow, state, question, answer, then = self._undo
        restore(self.learner, before)
        self._flow = flow.copied()
        self._random.setstate(state)
        if verdict in ("right", "wrong"):
            return self._take(question, replace(answer, verdict=verdict), then)
        if verdict == "skip":
            self._flow.current = None
        return None

    def skip(self, now: datetime) -> None:
        """Leave the open question without an answer; nothing is held against the child."""
        self._flow.current, self._flow.unclear = None, 0

    def _take(self, question: Question, answer: Response, now: datetime) -> Outcome:
        flow = self._flow
        judgement = judge_answer(question, answer)
        if judgement.verdict == "unclear":
            return self._unheard(question, judgement, answer)
        flow.current, flow.unclear = None, 0
        past = Past(now, question.key, judgement.verdict, judgement.reasons, answer.response_seconds)
        step, usual = self.learner.step, self.learner.skill(question.skill).usual
        level = fold(self.learner, past)
        flow.levels.append(level)
        if usual is not None and answer.response_seconds is not None and level != "missed":
            flow.stretch.append(answer.response_seconds / max(usual, 0.5))
        next_step, note = self._follow(question, judgement, level, now)
        if self.learner.step != step:
            note = f"{self.learner.path[step].title} is done; next comes {self.learner.path[self.learner.step].title}."
        return Outcome(
            question,
            judgement,
            level,
            reply(question, judgement, level) + (next_step.say if next_step else ()),
            next_step,
            note,
            past,
            self.learner.step if self.learner.step != step else None,
        )

    def _unheard(self, question: Question, judgement: Judgement, answer: Response) -> Outcome:
        flow = self._flow
        flow.unclear += 1
        says, note = once_more(answer), "Nothing clear was heard: it is asked again."
        if flow.unclear > MOST_UNCLEAR:
            # A third time would only annoy; the answer is said and nothing is held against the child.
            flow.current, flow.unclear = None, 0
            says, note = model(question), "Nothing clear was heard three times: the answer was said, not counted."
        return Outcome(question, judgement, "unclear", (says,), note=note)

    def _follow(
        self, question: Question, judgement: Judgement, level: str, now: datetime
    ) -> tuple[FollowUp | None, str]:
        flow, path = self._flow, self.learner.path
        if question.purpose == "closing":
            flow.closed.append(level)
            if level == "missed":
                flow.missed.append(question)
            return None, ""
        if level == "missed":
            flow.missed.append(question)
            run = self._run()
            flow.easy_next = max(flow.easy_next, 1 if run < 3 else 2)
            if question.purpose in _NO_RETURN:
                return None, ""
            reasons = judgement.reasons or (("other-form",) if judgement.verdict == "other-form" else ())
            after = follow_up(path, question, reasons, self._random)
            # The detour was made the first time; now the answer and another wait do.
            if question.purpose not in ("new", "due", "easy"):
                after = replace(after, moves=(), again=False)
            self._detour(question, after)
            self._return(question, COMES_BACK + len(after.moves) + after.again, after=0)
            return after, after.why
        if question.purpose == "return":
            self._return(question, COMES_BACK_LATER, after=1)
        if question.activity == "tens-in" and level != "fluent" and question.purpose not in _NO_RETURN:
            self._until_at_once(question, now)
        return self._counting(question, judgement, level)

    def _counting(self, question: Question, judgement: Judgement, level: str) -> tuple[FollowUp | None, str]:
        flow = self._flow
        if question.activity != "glimpse" or flow.counted or question.purpose in _NO_RETURN:
            return None, ""
        grows = counting.slope(self.learner.glimpses)
        aloud = "counted" in judgement.reasons
        if not aloud and not (grows and grows.counting and level != "fluent"):
            return None, ""
        flow.counted = True
        after = follow_up(self.learner.path, question, ("counted",), self._random)
        self._detour(question, after)
        note = after.why
        if not aloud and grows:
            note = (
                f"Each further thing takes {grows.seconds:.1f} s longer, so this is counting, not seeing: "
                "smaller groups first, then the same again."
            )
        return after, note

    def _detour(self, question: Question, after: FollowUp) -> None:
        again = [replace(question, purpose="again")] if after.again else []
        self._flow.detours = [*after.moves, *again]

    def _return(self, question: Question, gap: int, *, after: int) -> None:
        flow = self._flow
        times = flow.repeats.get(question.key, 0)
        waiting = any(other.key == question.key for *_, other in flow.returns)
        if times >= MOST_RETURNS or waiting or (after and times > after):
            return
        flow.repeats[question.key] = times + 1
        flow.returns.append((flow.asked + gap, float("inf"), times + 1, replace(question, purpose="return")))

    def _until_at_once(self, question: Question, now: datetime) -> None:
        flow = self._flow
        times = flow.repeats.get(question.key, 0)
        if times < MOST_RETURNS and all(other.key != question.key for *_, other in flow.returns):
            flow.repeats[question.key] = times + 1
            when = now.timestamp() + LATER_SECONDS
            flow.returns.append((2**31, when, times + 1, replace(question, purpose="until-at-once")))

    def _run(self) -> int:
        run = 0
        for level in reversed(self._flow.levels):
            if level != "missed":
                break
            run += 1
        return run

    def _tired(self) -> str:
        flow = self._flow
        last = flow.levels[-TIRED_WINDOW:]
        if self._run() >= TIRED_RUN:
            return "several answers in a row did not come"
        if len(last) == TIRED_WINDOW and last.count("missed") >= TIRED_MISSES:
            return "most of the last answers did not come"
        if len(flow.stretch) >= 15 and median(flow.stretch[-6:]) > SLOWED:
            return "answers take much longer than this child's usual"
        return ""

    def _turn_stage(self, now: datetime) -> None:
        flow = self._flow
        spent = (now - self.started).total_seconds()
        each = spent / flow.asked if flow.asked >= 3 else 10.0
        if flow.stage == "main":
            if tired := self._tired():
                self.wind_down(f"tiring: {tired}")
            elif spent + each * (CLOSING + 0.5) >= self.minutes * 60:
                flow.stage, flow.because = "closing", "the time is up"
                flow.detours, flow.returns = [], []
                flow.closing = self._closing_questions()
        if flow.stage == "closing" and not flow.closing:
            flow.stage = "finish"
        if flow.stage == "finish" and (flow.finishing >= 3 or (flow.levels and flow.levels[-1] != "missed")):
            flow.stage = "over"

    def _choose(self, now: datetime) -> Question | None:
        flow = self._flow
        if flow.stage == "over":
            return None
        if flow.stage == "closing":
            return flow.closing.pop(0)
        if flow.stage == "finish":
            flow.finishing += 1
            return self._finish(now)
        if flow.detours:
            return flow.detours.pop(0)
        if back := self._back(now):
            return back
        return self._fresh(now)

    def _back(self, now: datetime) -> Question | None:
        flow = self._flow
        for entry in flow.returns:
            position, when, _, question = entry
            if flow.asked + 1 > position or now.timestamp() >= when:
                flow.returns.remove(entry)
                return question
        return None

    def _fresh(self, now: datetime) -> Question:
        flow = self._flow
        at = now.timestamp()
        found = choose.choices(self.learner, at)
        lately = flow.levels[-6:]
        gap = 2 if lately.count("missed") >= 2 else 4
        easy = flow.easy_next > 0 or flow.asked < WARM_UP or flow.since_easy >= gap
        if easy:
            flow.easy_next, flow.since_easy = max(flow.easy_next - 1, 0), 0
            choice = choose.pick_easy(found, self._random, flow.skills)
        else:
            flow.since_easy += 1
            choice = choose.pick_hard(found, self._random, self.aim.focus, bool(self.aim.reason), flow.skills)
        purpose = "easy" if easy else None
        return choose.question_for(choice, self.learner, self._random, self._avoid(choice), at, purpose=purpose)

    def _avoid(self, choice: choose.Choice) -> Sequence[int]:
        """The last few numbers, and those that come back anyway."""
        flow = self._flow
        room = min(4, len(choice.step.numbers) // 2)
        waiting = [question.about[0] for *_, question in flow.returns if question.skill == choice.skill]
        return (*waiting, *(flow.numbers[-room:] if room else ()))

    def _closing_questions(self) -> list[Question]:
        flow, step = self._flow, self.learner.path[self.aim.step]
        hard = [question.about[0] for question in reversed(flow.missed) if question.skill == self.aim.skill]
        numbers = hard[:1]
        while len(numbers) < CLOSING:
            number = number_for(step, self.aim.ask, self._random, (*numbers, *flow.numbers[-2:]))
            numbers.append(number if number is not None else numbers[-1])
        closing = [make_question(step, self.aim.ask, number, self._random, "closing") for number in numbers]
        return [replace(closing[0], say=(said("closing.start"), *closing[0].say)), *closing[1:]]

    def _finish(self, now: datetime) -> Question:
        flow = self._flow
        if flow.finishing >= 2:
            # An echo of a small number: nobody leaves with a miss.
            first = self.learner.path.steps[0]
            return make_question(first, "say-back:plain", first.numbers.pick(self._random), self._random, "finish")
        at = now.timestamp()
        found = choose.choices(self.learner, at)
        choice = choose.pick_easy(found, self._random, flow.skills)
        return choose.question_for(choice, self.learner, self._random, self._avoid(choice), at, purpose="finish")


def start_session(
    learner: Learner, now: datetime, *, seed: int, minutes: float = 10.0, step: str | None = None
) -> Session:
    """Begin a sitting of ``minutes`` (above 0) for a child, at ``step`` if given (the child stays there).

    The same learner, clock and seed give the same questions to the same answers.
    """
    if not minutes > 0:
        raise ValueError("a sitting needs more than 0 minutes")
    if step is not None:
        learner.step = learner.path[step].slug
    return Session(learner, now, seed, minutes, aim_of(learner, now.timestamp()))
