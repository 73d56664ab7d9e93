"""One sitting of one child: what to ask now, and what follows from the answer.

Within a sitting a missed question comes back after three others and, once right,
again after eight (expanding gaps: Landauer & Bjork 1978, in Practical Aspects of
Memory); hard and easy alternate; signs of tiring end it, and so does the time;
the last answer is a success. Nothing here looks at a clock or a disk: ``now`` comes in with every call.
"""

from dataclasses import dataclass, replace
from datetime import datetime
from random import Random
from typing import Any

from sayit.numbers import Judgement
from sayit.practice import choose, counting
from sayit.practice.activities import ACTIVITIES
from sayit.practice.aims import CLOSING, Aim, Closing, aim_of
from sayit.practice.flow import Flow
from sayit.practice.folding import counts_still, finished, fold
from sayit.practice.followups import FollowUp, follow_up
from sayit.practice.guide import Outcome, Result, check_correction
from sayit.practice.learner import Learner, Past
from sayit.practice.placing import how_to_go_on, look, way_back
from sayit.practice.question import Question, Response, Said
from sayit.practice.replies import reply
from sayit.practice.undo import Before, remember, restore
from sayit.practice.unheard import Unheard, judge_open, take_unheard

COMES_BACK = 3
COMES_BACK_LATER = 8
NO_ANSWER = "no answer came to three questions"
_TRIES = 12

_NO_RETURN = ("closing", "finish", "follow-up")


@dataclass(frozen=True, slots=True)
class _Undo:
    """How all stood before the last answer, and the answer itself."""

    learner: Before
    flow: Flow
    random: tuple[Any, ...]
    question: Question
    response: Response
    at: datetime


class PlanGuide:
    """The guide of one child by the plan. Made by ``lead_one``."""

    whose = 0
    ends_itself = True

    def __init__(self, learner: Learner, now: datetime, seed: int, minutes: float, aim: Aim) -> None:
        self.learner = learner
        self.aim = aim
        self.started = now
        self.minutes = minutes
        self._random = Random(seed)
        self._flow = Flow()
        self._undo: _Undo | None = None

    @property
    def over(self) -> bool:
        """Whether there is nothing more to ask."""
        return self._flow.stage == "over"

    @property
    def stage(self) -> str:
        """Where it is: "main", "closing", "finish" or "over"."""
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
                flow.open(question)
        return flow.current

    @property
    def prompt(self) -> tuple[Said, ...]:
        """What to say for the open question."""
        return self._flow.unheard.prompt(self._flow.current)

    def take(self, response: Response, now: datetime) -> Outcome:
        """Judge the response to the open question and take it in. ValueError when nothing was asked."""
        question = self._flow.current
        if question is None:
            raise ValueError("no question is open: call next_question first")
        before = remember(self.learner, question.key)
        self._undo = _Undo(before, self._flow.copied(), self._random.getstate(), question, response, now)
        return self._take(question, response, now)

    def override(self, verdict: str, now: datetime) -> Outcome | None:
        """The parent's correction of the last answer; what the first judgement changed is taken back first."""
        check_correction(verdict)
        if (undo := self._undo) is None:
            return None
        restore(self.learner, undo.learner)
        self._flow = undo.flow.copied()
        self._random.setstate(undo.random)
        if verdict in ("right", "wrong"):
            return self._take(undo.question, replace(undo.response, verdict=verdict), undo.at)
        if verdict == "skip":
            self._flow.close()
        return None

    def skip(self, now: datetime) -> None:
        """Leave the open question without an answer; nothing is held against the child."""
        self._flow.close()

    def pass_over(self, now: datetime) -> None:
        """Leave the open question, which cannot be asked here; it does not count as asked."""
        self._flow.asked -= self._flow.current is not None
        self._flow.close()

    def results(self) -> tuple[Result, ...]:
        """How it went so far."""
        return (Result(self.aim, self.closing.met, self.because),)

    def _take(self, question: Question, response: Response, now: datetime) -> Outcome:
        flow = self._flow
        judgement = judge_open(flow.unheard, question, response)
        if judgement.verdict == "unclear":
            return self._unheard(question, judgement, response)
        flow.close()
        flow.unheard = Unheard()
        past = Past(now, question.key, judgement.verdict, judgement.reasons, response.response_seconds)
        done = finished(self.learner, now.timestamp())
        step, usual = self.learner.step, self.learner.skill(question.skill).usual
        level = fold(self.learner, past)
        flow.levels.append(level)
        flow.first += [level] * (question.purpose not in ("again", "return"))
        if usual is not None and response.response_seconds is not None and level != "missed":
            flow.stretch.append(response.response_seconds / max(usual, 0.5))
        next_step, note = self._follow(question, judgement, level, now)
        later = next_step is not None and not next_step.again and not flow.left(question)
        if self.learner.step != step:
            done_now, comes = self.learner.path[step].title, self.learner.path[self.learner.step].title
            note = f"{done_now} is done; next comes {comes}."
            if counts_still(self.learner, step, now.timestamp()):
                note = f"“{done_now}” is right by counting, not yet at once, so it keeps coming back. Next comes “{comes}”."
        elif not done and finished(self.learner, now.timestamp()):
            note = how_to_go_on(self.learner)
        return Outcome(
            question,
            judgement,
            level,
            reply(question, judgement, level, next_step, later=later),
            next_step,
            note,
            past,
            self.learner.step if self.learner.step != step else None,
        )

    def _unheard(self, question: Question, judgement: Judgement, response: Response) -> Outcome:
        flow = self._flow
        flow.unheard, outcome = take_unheard(
            flow.unheard, question, judgement, response, both=self.learner.knows_both(question.step)
        )
        if not flow.unheard.unclear:
            flow.close()
        if flow.unheard.calls:
            flow.stage, flow.because = "over", NO_ANSWER
        return outcome

    def _follow(
        self, question: Question, judgement: Judgement, level: str, now: datetime
    ) -> tuple[FollowUp | None, str]:
        flow, path = self._flow, self.learner.path
        if question.purpose == "closing":
            flow.closed.append(level)
            if level == "missed":
                flow.miss(question)
            return None, ""
        if level == "missed":
            flow.miss(question)
            flow.easy_next = max(flow.easy_next, 1 if flow.run() < 3 else 2)
            if question.purpose in _NO_RETURN:
                return None, ""
            reasons = judgement.reasons or (("other-form",) if judgement.verdict == "other-form" else ())
            after = follow_up(path, question, reasons, self._random)
            # The detour was made the first time; now the answer and another wait do.
            if question.purpose not in ("new", "due", "easy") or flow.left(question):
                after = replace(after, moves=(), again=False)
            self._detour(question, after)
            if flow.left(question):
                return after, "It was missed twice today: it is left for another day."
            flow.come_back(question, COMES_BACK + len(after.moves) + after.again, again=True)
            return after, after.why
        if question.purpose == "return":
            flow.come_back(question, COMES_BACK_LATER)
        at_once = ACTIVITIES[question.activity].until_at_once
        if at_once and level != "fluent" and question.purpose not in _NO_RETURN:
            flow.until_at_once(question, now)
        return self._counting(question, judgement, level)

    def _counting(self, question: Question, judgement: Judgement, level: str) -> tuple[FollowUp | None, str]:
        flow = self._flow
        if not ACTIVITIES[question.activity].seen or flow.counted or question.purpose in _NO_RETURN:
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
        self._flow.detours = [move for move in (*after.moves, *again) if not self._flow.left(move)]

    def _turn_stage(self, now: datetime) -> None:
        flow = self._flow
        spent = (now - self.started).total_seconds()
        each = spent / flow.asked if flow.asked >= 3 else 10.0
        if flow.stage == "main":
            if tired := flow.tired():
                flow.finish(f"tiring: {tired}")
            elif spent + each * (CLOSING + 0.5) >= self.minutes * 60:
                flow.stage, flow.because = "closing", "the time is up"
                flow.detours, flow.returns = [], []
                flow.closing = choose.closing(self.learner, self.aim, flow, self._random)
        while flow.stage == "closing" and flow.closing and flow.left(flow.closing[0]):
            # Counted as the child has shown already, without asking a third time.
            flow.closing.pop(0)
            flow.closed.append("missed")
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
            return choose.last(self.learner, flow, now, self._random)
        if flow.detours:
            return flow.detours.pop(0)
        if back := flow.back(now):
            return back
        for _ in range(_TRIES):
            question = choose.fresh(self.learner, self.aim, flow, now, self._random)
            if not flow.left(question):
                return question
        return choose.last(self.learner, flow, now, self._random)


def lead_one(learner: Learner, now: datetime, *, seed: int, minutes: float = 10.0) -> PlanGuide:
    """Begin a sitting of ``minutes`` (above 0) for a child.

    The same learner, clock and seed give the same questions to the same answers.
    """
    if not minutes > 0:
        raise ValueError("a sitting needs more than 0 minutes")
    look(learner, now.timestamp())
    aim = aim_of(learner, now.timestamp())
    if way := way_back(learner):
        aim = replace(aim, why=f"{aim.why}. {way}")
    return PlanGuide(learner, now, seed, minutes, aim)
