"""One turn: ask, listen, judge, keep, answer.

Nothing here knows about a face: what happens is reported as events, what the parent decides comes in through
``Parent``, the child's voice through ``Ears``, its fingers through ``Hands``, and what to ask and reply through ``Guide``.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sayit.errors import SayitError
from sayit.hearing.capture import MicrophoneLost
from sayit.hearing.doubt import NONE, Evidence, said_after_all
from sayit.numbers import read
from sayit.practice.guide import Outcome
from sayit.practice.question import Question, Response, said
from sayit.sitting.ears import Ears, Sound, nothing_follows
from sayit.sitting.events import Asked, Caught, Corrected, Growing, Judged, Listening, Note, Notice, ParentNeeded
from sayit.sitting.hands import Hands
from sayit.sitting.parent import Choice
from sayit.sitting.table import Table
from sayit.store import Answer, keep_sound

if TYPE_CHECKING:
    import numpy as np

    from sayit.hearing.heard import Heard

WAIT_FOR_PARENT = 30.0
"""Seconds that the child waits for a parent who is needed but does not come."""

_VERDICTS = (Choice.RIGHT, Choice.WRONG)


@dataclass(frozen=True, slots=True)
class Turn:
    """How a turn went: the answer kept (None where nothing was judged), and whether the parent wants to stop.

    ``evidence`` is what its answer told.
    """

    answer: Answer | None
    stopped: bool = False
    evidence: Evidence = NONE


def take_turn(table: Table, question: Question, attempt: int = 1, before: Turn | None = None) -> Turn:
    """Ask ``question`` for the ``attempt``-th time, take one answer and keep it.

    ``before`` is the turn before: a parent may still correct its answer while the prompt is said, and its
    evidence counts where the same is asked again. The record has the answer before the child hears the reply.
    """
    turn = _Course(table, question, attempt, before)
    choice = turn.ask()
    if choice is None and not turn.outdated:
        choice = turn.take_answer()
    return Turn(turn.answer, stopped=choice is Choice.STOP, evidence=turn.evidence)


class _Course:
    """The course of one turn; its methods give what the parent decided, None for nothing."""

    def __init__(self, table: Table, question: Question, attempt: int, before: Turn | None) -> None:
        self.answer: Answer | None = None
        self.outdated = False
        """The parent corrected the answer before, and that changed what to ask."""
        self._table = table
        self._parent = table.devices.parent
        self._speaker = table.seat.speaker
        self._question = question
        self._attempt = attempt
        self._before = before.answer if before else None
        self._told = before.evidence if before and attempt > 1 else NONE
        self.evidence = NONE
        self._pressed: list[Choice] = []
        # The one place that chooses how the child answers.
        self._hands: Hands | None = table.devices.hands if question.way != "spoken" or question.clapped else None
        self._by_hand = self._hands is not None and (question.way != "spoken" or not table.devices.ears)

    def ask(self) -> Choice | None:
        """Say the question; a parent who reads it aloud is waited for."""
        self._prompt = self._speaker.say(self._table.guide.prompt)
        wait: float | None = 0
        if self._parent.present and not self._speaker.aloud and (why := self._after_reading()):
            self._table.report(ParentNeeded(why, verdict=False))
            wait = None
        while (choice := self._parent.decide(wait)) and choice is not Choice.GO:
            # A verdict given while the prompt was said can only mean the answer before.
            if choice not in _VERDICTS:
                return self._leave(choice)
            if self._before:
                self._before = self._correct(self._before, choice)[0]
                self.outdated = self._table.next_question() is not self._question
                if self.outdated:
                    return None
        self._asked_at = self._table.now()
        self._table.report(Asked(self._question, self._attempt))
        return None

    def _after_reading(self) -> str:
        """What the parent who reads the prompt aloud has to be waited for; "" for nothing."""
        if self._by_hand:
            return "Read it aloud, then press g: the child's turn begins then."
        if self._question.show and self._question.show.seconds:
            return "Read it aloud, then press g: it is shown for a moment."
        # Otherwise the reader's own voice would be taken for the answer.
        heard = self._table.devices.ears
        return "Read it aloud, then press g: your turn is over and listening begins." if heard else ""

    def take_answer(self) -> Choice | None:
        """Take the child's answer, or the parent's word for it."""
        if self._hands and self._by_hand:
            self._hands.begin(self._question)
            self._table.report(Listening())
            return self._feel(self._hands)
        if ears := self._table.devices.ears:
            return self._hear(ears)
        return self._ask_parent("There is no microphone.")

    def _hear(self, ears: Ears) -> Choice | None:
        if self._hands:
            self._hands.begin(self._question)
        self._table.report(Listening())
        try:
            sound = ears.listen(self._question, self._attempt, self._interrupted, self._hear_so_far, self._complete)
        except MicrophoneLost as lost:
            return self._without_ears("microphone-lost", lost)
        finally:
            if self._hands and not self._hands.begun:
                self._hands.end()
        if sound is None:
            if self._hands and not self._pressed:
                return self._feel(self._hands)
            return self._judged_by_parent(self._pressed[0])
        self._table.report(Caught(len(sound.samples) / 16_000))
        if sound.claps is not None:
            return self._count(sound.claps, sound.response_seconds, sure=sound.sure)
        try:
            heard = sound.heard or self._table.devices.listener().hear(sound.samples)
        except SayitError as missing:
            return self._without_ears("listener-missing", missing)
        reading = read(heard.words)
        self.evidence = self._evidence(heard, sound.samples)
        outcome = self._judge(
            Response(
                words=reading,
                response_seconds=sound.response_seconds,
                sure=heard.clear and not self.evidence.doubt,
                swapped=self.evidence.doubt == "swapped",
            ),
            heard=heard.words,
            heard_form=reading.form,
            confidence=heard.confidence,
            alternatives=tuple((one.words, one.score) for one in heard.alternatives),
            listener=heard.listener,
            response_seconds=sound.response_seconds,
            audio_seconds=heard.audio_seconds,
            work_seconds=heard.work_seconds,
        )
        self._keep_sound(sound)
        return self._reply(outcome, "It was not clear what was said.", sound.advice)

    def _count(self, claps: int, after: float | None, *, sure: bool = True) -> Choice | None:
        outcome = self._judge(
            Response(claps=claps, response_seconds=after, sure=sure),
            heard=f"{claps} clap{'' if claps == 1 else 's'}",
            listener="claps",
            response_seconds=after,
        )
        return self._reply(outcome, "It was not clear how many claps there were.")

    def _evidence(self, heard: "Heard", samples: "np.ndarray") -> Evidence:
        """Whether the number asked may have been said though another one was heard: then nobody is told it was wrong."""

        def weigh(phrases: Sequence[str]) -> Mapping[str, float]:
            try:
                return self._table.devices.listener().weigh(samples, phrases) if heard.clear else {}
            except SayitError:
                return {}

        return said_after_all(heard, self._question.value, weigh, self._told)

    def _feel(self, hands: Hands) -> Choice | None:
        placed = hands.wait(self._decided)
        if placed is None:
            return self._judged_by_parent(self._pressed[0])
        after = placed.response_seconds
        if self._question.clapped:
            return self._count(int(placed.digits), after)
        if self._question.way == "choice":
            response, built = Response(choice=int(placed.digits), response_seconds=after), None
        else:
            response, built = Response(digits=placed.digits, response_seconds=after), placed.digits
        outcome = self._judge(response, built=built, response_seconds=after)
        return self._reply(outcome, "It was not clear what was put down.")

    def _interrupted(self) -> bool:
        """Whether the child is not listened to any more: the parent decided, or an answer by hand has begun."""
        return self._decided() or (self._hands is not None and self._hands.begun)

    def _decided(self) -> bool:
        """Whether the parent decided before the child had answered; ``_pressed`` says what."""
        choice = self._parent.decide(0)
        if choice and choice is not Choice.GO:
            self._pressed.append(choice)
        return bool(self._pressed)

    def _hear_so_far(self, samples: "np.ndarray") -> "Heard | None":
        listener = self._table.devices.listener
        # Waiting for the recogniser would keep the child from seeing that it was heard.
        if not listener.ready:
            return None
        try:
            heard = listener().hear(samples)
        except SayitError:
            # Told to the parent when the answer is over.
            return None
        if self._question.grows:
            self._table.report(Growing(read(heard.words).value))
        return heard

    def _complete(self, heard: "Heard") -> bool:
        """Whether this is a clear answer that nothing can follow."""
        return nothing_follows(heard, self._question.value)

    def _without_ears(self, kind: str, error: SayitError) -> Choice | None:
        if not self._parent.present:
            raise error
        self._table.devices.ears = None
        self._table.report(Notice(kind, str(error)))
        self._speaker.say((said("session.parent-listens"),))
        return self._ask_parent("From here on you judge.")

    def _ask_parent(self, why: str) -> Choice | None:
        """Let the parent judge what only they heard."""
        self._table.report(ParentNeeded(why))
        while (choice := self._parent.decide(None)) is Choice.GO:
            pass
        return self._judged_by_parent(choice) if choice else self._leave(Choice.SKIP)

    def _judged_by_parent(self, choice: Choice) -> Choice | None:
        if choice not in _VERDICTS:
            return self._leave(choice)
        outcome = self._judge(Response(verdict=choice.value), judged_by="parent")
        self._speaker.say(outcome.reply)
        return self._settle(self._parent.decide(self._table.devices.pause))

    def _leave(self, choice: Choice) -> Choice:
        """Go on without an answer; after "again" the question stays open."""
        if choice is Choice.SKIP:
            self._table.guide.skip(self._table.practised())
        return choice

    def _reply(self, outcome: Outcome, unclear: str, advice: str = "") -> Choice | None:
        """Say what follows from the answer just kept; a parent is waited for where it stays ``unclear``."""
        again = self._table.next_question() is self._question
        if outcome.judgement.verdict == "unclear":
            if advice:
                self._table.report(Notice("level", advice))
            if outcome.calls:
                # The child hears that somebody comes before the wait for them begins.
                self._speaker.say(outcome.reply)
            if not again and self._parent.present:
                self._table.report(ParentNeeded(outcome.calls or unclear))
                choice = self._parent.decide(WAIT_FOR_PARENT)
                if outcome.calls and choice is Choice.GO:
                    choice = Choice.AGAIN
                if choice and choice is not Choice.GO:
                    return self._settle(choice)
        if not outcome.calls:
            self._speaker.say(outcome.reply)
        return None if again else self._settle(self._parent.decide(self._table.devices.pause))

    def _settle(self, choice: Choice | None) -> Choice | None:
        """Carry out what the parent decided about the answer just kept."""
        while self.answer and choice in _VERDICTS:
            changed = choice != self.answer.final
            self.answer, outcome = self._correct(self.answer, choice)
            if changed and outcome:
                self._speaker.say(outcome.reply)
            choice = self._parent.decide(self._table.devices.pause)
        if self.answer and choice in (Choice.AGAIN, Choice.SKIP):
            self.answer, _ = self._correct(self.answer, choice)
            self.evidence = NONE
        return choice

    def _judge(self, response: Response, **kept: Any) -> Outcome:
        """Let the guide judge, and put the answer into the record before anything else can go wrong."""
        outcome = self._table.guide.take(response, self._table.practised())
        answer = _kept(
            self._table,
            self._question,
            outcome,
            prompt=self._prompt,
            asked_at=self._asked_at,
            attempt=self._attempt,
            **kept,
        )
        self.answer = self._table.patiently(lambda: self._table.record.keep(answer))
        self._table.report(Judged(self.answer, outcome.judgement))
        self._tell(outcome)
        return outcome

    def _keep_sound(self, sound: Sound) -> None:
        """Keep the sound of the answer just kept, where the parent turned that on for the child."""
        if not len(sound.samples) or not (answer := self.answer):
            return
        try:
            self.answer = self._table.patiently(lambda: keep_sound(self._table.record, answer, sound.samples))
        except SayitError as error:
            self._table.report(Notice("not-recorded", str(error)))

    def _correct(self, answer: Answer, choice: Choice) -> tuple[Answer, Outcome | None]:
        now = self._table.now()
        corrected = self._table.patiently(lambda: self._table.record.override(answer, choice.value, at=now))
        outcome = self._table.guide.override(choice.value, self._table.practised())
        self._table.report(Corrected(corrected))
        self._tell(outcome)
        return corrected, outcome

    def _tell(self, outcome: Outcome | None) -> None:
        """Tell the parent why the practice goes on as it does."""
        if outcome and outcome.note:
            self._table.report(Note(outcome.note))


def _kept(table: Table, question: Question, outcome: Outcome, **kept: Any) -> Answer:
    """The answer as the record keeps it."""
    session, judgement = table.seat.session, outcome.judgement
    return Answer(
        session=session.id,
        child=session.child,
        question=str(question.key),
        step=question.step,
        activity=question.activity,
        asked=question.value,
        form="any" if judgement.form == "any" else question.form,
        verdict=judgement.verdict,
        value=judgement.value,
        reasons=tuple(judgement.reasons),
        judged_at=table.now(),
        way=question.way,
        purpose=question.purpose,
        **kept,
    )
