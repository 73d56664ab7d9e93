"""One turn: ask, listen, judge, keep, answer.

Nothing here knows about a terminal: what happens is reported as events, what
the parent decides comes in through ``Parent``, the child's voice through
``Ears``, and what to ask and reply through ``Guide``.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol

from sayit.errors import SayitError
from sayit.hearing.capture import MicrophoneLost
from sayit.hearing.heard import Heard, Listener
from sayit.hearing.loading import Loading
from sayit.numbers import Judgement, may_go_on, read
from sayit.practice.question import Question, Response, Said, said
from sayit.sitting.ears import Ears, Sound
from sayit.sitting.events import Asked, Caught, Corrected, Event, Judged, Listening, Note, Notice, ParentNeeded
from sayit.sitting.parent import Choice, Parent
from sayit.store import Answer, Record, Session, keep_sound

if TYPE_CHECKING:
    import numpy as np

WAIT_FOR_PARENT = 30.0
"""Seconds that the child waits for a parent who is needed but does not come."""

_MAY_FOLLOW = 10_000
"""From here on "thousand" may follow any name."""

_VERDICTS = (Choice.RIGHT, Choice.WRONG)


class Outcome(Protocol):
    """What follows from an answer. A ``note`` beside it is a sentence for the parent."""

    judgement: Judgement
    reply: tuple[Said, ...]


class Guide(Protocol):
    """Knows what to ask next and what follows from an answer."""

    def next_question(self, now: datetime) -> Question | None: ...

    def take(self, answer: Response, now: datetime) -> Outcome: ...

    def override(self, verdict: str, now: datetime) -> Outcome | None: ...

    def skip(self, now: datetime) -> None: ...


class Speaker(Protocol):
    """Says phrases of the phrase bank; ``aloud`` is False where somebody must read them to the child."""

    aloud: bool

    def say(self, phrases: Sequence[Said]) -> str:
        """Say or show the phrases, and return their words when they are over."""
        ...


@dataclass(frozen=True, slots=True)
class Seat:
    """One of the children of a sitting: its name, its session in the record, and a speaker that calls it by its name."""

    child: str
    session: Session
    speaker: Speaker


@dataclass(slots=True)
class Parts:
    """All that a turn is played with.

    ``ears`` is None where there is no microphone: then the parent judges.
    ``pause`` is how long (seconds) a parent can correct a verdict before the next question. With
    ``seats`` several children take turns: ``session`` and ``speaker`` are then those of whose turn it is.
    """

    record: Record
    session: Session
    guide: Guide
    speaker: Speaker
    ears: Ears | None
    listener: Loading
    parent: Parent
    report: Callable[[Event], None]
    now: Callable[[], datetime]
    pause: float = 1.5
    seats: tuple[Seat, ...] = ()


@dataclass(frozen=True, slots=True)
class Turn:
    """How a turn went: the answer kept (None where nothing was judged), and whether the parent wants to stop."""

    answer: Answer | None
    stopped: bool = False


def take_turn(parts: Parts, question: Question, attempt: int = 1, before: Answer | None = None) -> Turn:
    """Ask ``question`` for the ``attempt``-th time, hear one answer and keep it.

    ``before`` is the answer of the turn before: a parent may still correct it while
    the prompt is said. The record has the answer before the child hears the reply.
    """
    turn = Play(parts, question, attempt, before)
    choice = turn.ask()
    if choice is None and not turn.outdated:
        choice = turn.hear() if parts.ears else turn.ask_parent("There is no microphone.")
    return Turn(turn.answer, stopped=choice is Choice.STOP)


class Play:
    """The course of one turn; a turn for hands differs in ``hear`` alone."""

    def __init__(self, parts: Parts, question: Question, attempt: int, before: Answer | None) -> None:
        self.parts = parts
        self.question = question
        self.attempt = attempt
        self.before = before
        self.answer: Answer | None = None
        self.pressed: list[Choice] = []
        self.outdated = False
        """The parent corrected the answer before, and that changed what to ask."""
        self._last: tuple[np.ndarray, Heard] | None = None

    def ask(self) -> Choice | None:
        self.prompt = self.parts.speaker.say(self.question.say)
        wait: float | None = 0
        if self.parts.parent.present and not self.parts.speaker.aloud and (why := self.after_reading()):
            self.parts.report(ParentNeeded(why, verdict=False))
            wait = None
        while (choice := self.parts.parent.decide(wait)) and choice is not Choice.GO:
            # A verdict given while the prompt was said can only mean the answer before.
            if choice not in _VERDICTS:
                return self.leave(choice)
            if self.before:
                self.before = self.correct(self.before, choice)[0]
                self.outdated = self.parts.guide.next_question(self.parts.now()) is not self.question
                if self.outdated:
                    return None
        self.asked_at = self.parts.now()
        self.parts.report(Asked(self.question, self.attempt))
        return None

    def after_reading(self) -> str:
        """What the parent who reads the prompt aloud has to be waited for; "" for nothing."""
        if self.question.show and self.question.show.seconds:
            return "Read it aloud, then press g: it is shown for a moment."
        # Otherwise the reader's own voice would be taken for the answer.
        return "Read it aloud, then press g: your turn is over and listening begins." if self.parts.ears else ""

    def hear(self) -> Choice | None:
        self.parts.report(Listening())
        try:
            sound = self.parts.ears.listen(self.question, self.attempt, self.interrupted, self.settled)
        except MicrophoneLost as lost:
            return self.without_ears("microphone-lost", lost)
        if sound is None:
            return self.judged_by_parent(self.pressed[0])
        self.parts.report(Caught(len(sound.samples) / 16_000))
        try:
            listener = self.parts.listener()
        except SayitError as missing:
            return self.without_ears("listener-missing", missing)
        return self.judge(sound, self.heard(listener, sound.samples))

    def interrupted(self) -> bool:
        """Whether the parent decided before the child had answered; ``pressed`` says what."""
        choice = self.parts.parent.decide(0)
        if choice and choice is not Choice.GO:
            self.pressed.append(choice)
        return bool(self.pressed)

    def settled(self, samples: "np.ndarray") -> bool:
        """Whether these samples are a clear answer that nothing can follow."""
        # Waiting for the recogniser would keep the child from seeing that it was heard.
        if self.question.value >= _MAY_FOLLOW or not self.parts.listener.ready:
            return False
        try:
            listener = self.parts.listener()
        except SayitError:
            # Told to the parent when the answer is over.
            return False
        heard = self.heard(listener, samples)
        return heard.clear and not may_go_on(heard.words)

    def heard(self, listener: Listener, samples: "np.ndarray") -> Heard:
        """What the listener hears; the same answer is not listened to twice."""
        if self._last is None or len(self._last[0]) != len(samples) or not (self._last[0] == samples).all():
            self._last = (samples, listener.hear(samples))
        return self._last[1]

    def without_ears(self, kind: str, error: SayitError) -> Choice | None:
        if not self.parts.parent.present:
            raise error
        self.parts.ears = None
        self.parts.report(Notice(kind, str(error)))
        self.parts.speaker.say((said("session.parent-listens"),))
        return self.ask_parent("From here on you judge.")

    def judge(self, sound: Sound, heard: Heard) -> Choice | None:
        given = Response(words=heard.words, response_seconds=sound.response_seconds, sure=heard.clear)
        outcome = self.parts.guide.take(given, self.parts.now())
        self.keep(
            outcome,
            heard=heard.words,
            heard_form=read(heard.words).form if heard.words else "none",
            confidence=heard.confidence,
            alternatives=tuple((one.words, one.score) for one in heard.alternatives),
            listener=heard.listener,
            response_seconds=sound.response_seconds,
            audio_seconds=heard.audio_seconds,
            work_seconds=heard.work_seconds,
        )
        self.keep_sound(sound)
        again = self.parts.guide.next_question(self.parts.now()) is self.question
        if outcome.judgement.verdict == "unclear":
            if sound.advice:
                self.parts.report(Notice("level", sound.advice))
            if not again and self.parts.parent.present:
                self.parts.report(ParentNeeded("It was not clear what was said."))
                choice = self.parts.parent.decide(WAIT_FOR_PARENT)
                if choice and choice is not Choice.GO:
                    return self.settle(choice)
        self.parts.speaker.say(outcome.reply)
        return None if again else self.settle(self.parts.parent.decide(self.parts.pause))

    def ask_parent(self, why: str) -> Choice | None:
        """Let the parent judge what only they heard."""
        self.parts.report(ParentNeeded(why))
        while (choice := self.parts.parent.decide(None)) is Choice.GO:
            pass
        return self.judged_by_parent(choice) if choice else self.leave(Choice.SKIP)

    def judged_by_parent(self, choice: Choice) -> Choice | None:
        if choice not in _VERDICTS:
            return self.leave(choice)
        outcome = self.parts.guide.take(Response(verdict=choice.value), self.parts.now())
        self.keep(outcome, judged_by="parent")
        self.parts.speaker.say(outcome.reply)
        return self.settle(self.parts.parent.decide(self.parts.pause))

    def leave(self, choice: Choice) -> Choice:
        """Go on without an answer; after "again" the question stays open."""
        if choice is Choice.SKIP:
            self.parts.guide.skip(self.parts.now())
        return choice

    def settle(self, choice: Choice | None) -> Choice | None:
        """Carry out what the parent decided about the answer just kept."""
        while choice in _VERDICTS:
            changed = choice != self.answer.final
            self.answer, outcome = self.correct(self.answer, choice)
            if changed:
                self.parts.speaker.say(outcome.reply)
            choice = self.parts.parent.decide(self.parts.pause)
        if choice in (Choice.AGAIN, Choice.SKIP):
            self.answer, _ = self.correct(self.answer, choice)
        return choice

    def keep(self, outcome: Outcome, **heard: Any) -> None:
        """Put a judged answer into the record, before anything else can go wrong."""
        session, question, judgement = self.parts.session, self.question, outcome.judgement
        self.answer = self.parts.record.keep(
            Answer(
                session=session.id,
                child=session.child,
                question=question.key,
                step=question.step,
                activity=question.activity,
                asked=question.value,
                form=question.form,
                prompt=self.prompt,
                verdict=judgement.verdict,
                value=judgement.value,
                reasons=tuple(judgement.reasons),
                asked_at=self.asked_at,
                judged_at=self.parts.now(),
                way=question.way,
                purpose=question.purpose,
                attempt=self.attempt,
                **heard,
            )
        )
        self.parts.report(Judged(self.answer, judgement))
        self.tell(outcome)

    def keep_sound(self, sound: Sound) -> None:
        """Keep the sound of the answer just kept, where the parent turned that on for the child."""
        if not len(sound.samples):
            return
        try:
            self.answer = keep_sound(self.parts.record, self.answer, sound.samples)
        except SayitError as error:
            self.parts.report(Notice("not-recorded", str(error)))

    def tell(self, outcome: Outcome | None) -> None:
        """Tell the parent why the practice goes on as it does."""
        if note := getattr(outcome, "note", ""):
            self.parts.report(Note(note))

    def correct(self, answer: Answer, choice: Choice) -> tuple[Answer, Any]:
        now = self.parts.now()
        corrected = self.parts.record.override(answer, choice.value, at=now)
        outcome = self.parts.guide.override(choice.value, now)
        self.parts.report(Corrected(corrected))
        self.tell(outcome)
        return corrected, outcome
