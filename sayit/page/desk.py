"""What the two pages can have done: sittings, decisions, settings, the microphone test."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import replace
from datetime import UTC, datetime
from itertools import zip_longest
from pathlib import Path
from random import Random, SystemRandom
from typing import Any

import numpy as np

from sayit import paths
from sayit.errors import SayitError
from sayit.hearing.capture import Microphone, MicrophoneLost
from sayit.hearing.endpoint import EndRule, listen, open_detector
from sayit.hearing.loading import Loading
from sayit.page import own_voice
from sayit.page.arrangement import arranged, kept
from sayit.page.board import Board
from sayit.page.leading import lead, place_in_words
from sayit.page.outlook import outlook
from sayit.page.screen import Screen, wav
from sayit.page.senses import Metered, PageEars, PageVoice, end_rule, english_voices
from sayit.page.settings import changed, forms_for, only_of, read_settings, write_settings
from sayit.page.sitting import DeskParent, sit
from sayit.practice.placement import MINUTES
from sayit.report import figures_of, report_page
from sayit.sitting.events import Notice
from sayit.sitting.parent import Choice
from sayit.sitting.placing import Hands
from sayit.sitting.planned import Led, Searching
from sayit.sitting.speaker import Speaker
from sayit.sitting.turn import Parts, Seat
from sayit.sound.audio import RATE
from sayit.sound.level import measure
from sayit.speaking.phrases import open_bank
from sayit.store import Child, open_record
from sayit.store.arrangement import arrange
from sayit.store.learning import learner_of

__all__ = ["Desk"]

PAUSE = 1.5
"""Seconds after a reply in which the parent can correct it before the next question."""

TEST = EndRule(patience=6.0, quiet=1.2, longest=6.0)
OWN_VOICE = EndRule(patience=6.0, quiet=1.0, longest=12.0, before=0.2, after=0.2)

_SCREEN = {
    "closed": "Open the child's screen.",
    "open": "Touch the child's screen once: a browser gives sound only then.",
    "ready": "Ready.",
    "lost": "The microphone went away: plug it in again.",
    "denied": "The browser may not listen: allow the microphone beside the address, then reload the child's screen.",
}
_RATE_STEP, _VOLUME_STEP = 15, 1.25
_TOLD_EVERY = 0.1
_WEEKS = 4


class Desk:
    """Everything behind the page. Its methods are called from the server's thread; a sitting has its own.

    ``tell_screen`` and ``tell_desks`` send a message to the child's screen and to
    every open desk; ``changed`` says that both must be drawn anew; ``now`` gives the time.
    """

    def __init__(
        self,
        *,
        tell_screen: Callable[[dict[str, Any]], None],
        tell_desks: Callable[[dict[str, Any]], None],
        changed: Callable[[], None],
        listener: Loading,
        record: Path | None = None,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self._file = paths.data() / "desk.json"
        self._record = record
        self._now = now
        self._tell_screen = tell_screen
        self._tell_desks = tell_desks
        self._listener = listener
        self._told = 0.0
        self._worker: threading.Thread | None = None
        self._recorded: bytes | None = None
        self._ears_here: PageEars | None = None
        self.parent = DeskParent()
        self.hands = Hands()
        self.screen = Screen(tell_screen)
        self.board = Board(read_settings(self._file), changed)
        self._look()

    def _look(self) -> None:
        """See what is there, each in the background where it takes time."""
        self._children()
        self.board.part("recogniser", None, "Loading ...")
        threading.Thread(target=self._load, name="load recogniser", daemon=True).start()
        threading.Thread(target=self._try_voice, name="try voice", daemon=True).start()
        self._screen_part()

    def _load(self) -> None:
        try:
            listener = self._listener()
            # What is heard first takes longer than all that follows: the child's answer shall not be it.
            listener.hear(_murmur())
            self.board.part("recogniser", True, f"Ready ({listener.name}).")
        except SayitError as missing:
            self.board.part("recogniser", False, f"{missing} Until then you judge what you hear.")

    def _try_voice(self) -> None:
        voice = PageVoice(lambda: self.board.settings, self.screen, lambda: True)
        trouble = voice.trouble
        self.board.part("voice", trouble is None, trouble or "Ready.")
        if not self.board.voices:
            self.board.change(voices=english_voices())

    def _children(self) -> None:
        with open_record(self._record) as record:
            known = {child.id: child.name for child in record.children()}
        settings = only_of(self.board.settings, known)
        if settings != self.board.settings:
            # Whoever was forgotten leaves no trace here either.
            write_settings(settings, self._file)
        self.board.change(children=tuple(known.values()), settings=settings)
        threading.Thread(target=self._look_ahead, name="look ahead", daemon=True).start()

    def _name(self) -> str:
        """The child that the next sitting is with."""
        chosen, children = self.board.settings.child, self.board.children
        return chosen if chosen in children else (children or ("",))[0]

    def _look_ahead(self) -> None:
        found = holds = None
        with open_record(self._record) as record:
            if child := record.child(self._name()) if self._name() else None:
                found = outlook(record, child, self._here())
                holds = arranged(record, child, self._here()) | {"forms": forms_for(self.board.settings, child.id)}
        self.board.change(outlook=found, arrangement=holds)

    def report(self) -> str:
        """The report of the last weeks, one page of HTML; ``SayitError`` for a child who never answered."""
        name = self._name()
        with open_record(self._record) as record:
            child = record.child(name) if name else None
            if child is None:
                raise SayitError("Add a child first: a name or nickname.")
            return report_page(figures_of(record, child, weeks=_WEEKS, now=self._here()), invented=False)

    def _here(self) -> datetime:
        """Now in the household's own time zone, in which its days begin and end."""
        return self._now().astimezone()

    def _screen_part(self) -> None:
        state = self.screen.state
        self.board.part("screen", state != "closed", _SCREEN["closed"] if state == "closed" else "Open.")
        if self.board.settings.sound == "machine":
            self.board.part("microphone", None, "This machine's own: try it below.")
        else:
            self.board.part("microphone", state == "ready", _SCREEN[state])

    # What the child's screen tells.

    def screen_is(self, state: str, rate: int = RATE) -> None:
        """The child's screen was opened, touched, closed, or its microphone came or went."""
        before = self.screen.state
        self.screen.is_now(state, rate)
        self._screen_part()
        if self.board.phase != "running" or state == before or self.board.settings.sound == "machine":
            return
        if state == "ready":
            self.board.forget("screen")
        elif before == "ready":
            self.board.notice("screen", f"{_SCREEN[state]} Nothing that was judged is lost.")

    def woke(self) -> None:
        """The machine slept."""
        if self.board.phase == "running":
            self.screen.restart()
            if self._ears_here:
                self._ears_here.restart()
            self.board.notice("woke", "The machine slept. The open question is asked again; nothing is lost.")

    def placed(self, digits: str) -> None:
        """The child's digits are complete."""
        if digits.isascii() and digits.isdigit() and len(digits) <= 7:
            self.hands.give(digits)

    # What the desk wants.

    def wants(self, kind: str, message: dict[str, Any]) -> str | None:
        """Carry out what the parent wants; what to tell about it, if anything. ``SayitError``, one line, where it cannot be."""
        known = {
            "start": self._start,
            "find": self._find,
            "take-place": self._take_place,
            "leave-place": self._leave_place,
            "choice": self._choose,
            "set": self._set,
            "add-child": self._add_child,
            "arrange": self._arrange,
            "rate": self._slower_or_faster,
            "volume": self._softer_or_louder,
            "test": self._test,
            "hear": self._hear,
            "slots": lambda message: self._tell_slots(),
            "record": self._record_own,
            "unrecord": self._forget_own,
            "forget": lambda message: self.board.forget(str(message.get("notice"))),
        }
        if kind not in known:
            raise SayitError("The page asked for something unknown: reload it.")
        return known[kind](message)

    def _set(self, message: dict[str, Any]) -> None:
        wanted = message.get("values")
        if not isinstance(wanted, dict):
            raise SayitError("The page asked for something unknown: reload it.")
        settings = changed(self.board.settings, wanted)
        settings = replace(settings, turns=tuple(name for name in settings.turns if name != settings.child))
        write_settings(settings, self._file)
        self.board.change(settings=settings)
        self._screen_part()
        if "child" in wanted:
            threading.Thread(target=self._look_ahead, name="look ahead", daemon=True).start()
        if {"rate", "volume", "voice"} & set(wanted):
            threading.Thread(target=self._try_voice, name="try voice", daemon=True).start()

    def _slower_or_faster(self, message: dict[str, Any]) -> None:
        step = _RATE_STEP if message.get("way") == "up" else -_RATE_STEP
        self._set({"values": {"rate": min(220, max(80, self.board.settings.rate + step))}})

    def _softer_or_louder(self, message: dict[str, Any]) -> None:
        factor = _VOLUME_STEP if message.get("way") == "up" else 1 / _VOLUME_STEP
        self._set({"values": {"volume": round(min(1.0, max(0.05, self.board.settings.volume * factor)), 3)}})

    def _add_child(self, message: dict[str, Any]) -> None:
        with open_record(self._record) as record:
            child = record.add_child(str(message.get("name", "")), at=self._now())
        self._children()
        self._set({"values": {"child": child.name}})

    def _arrange(self, message: dict[str, Any]) -> str:
        wanted = message.get("values")
        if not isinstance(wanted, dict):
            raise SayitError("The page asked for something unknown: reload it.")
        with open_record(self._record) as record:
            child = record.child(str(message.get("child", "")))
            if child is None:
                raise SayitError("Add a child first: a name or nickname.")
            # Checked before the record is written, so that all of it holds or nothing.
            forms = {
                **self.board.settings.forms_of,
                str(child.id): wanted.get("forms", forms_for(self.board.settings, child.id)),
            }
            settings = changed(self.board.settings, {"forms_of": forms})
            told = kept(child, arrange(record, child, wanted, self._here()))
        write_settings(settings, self._file)
        self.board.change(settings=settings)
        threading.Thread(target=self._look_ahead, name="look ahead", daemon=True).start()
        return told

    def _choose(self, message: dict[str, Any]) -> None:
        try:
            choice = Choice(message.get("choice"))
        except ValueError:
            raise SayitError("The page asked for something unknown: reload it.") from None
        if self.board.phase == "running":
            self.parent.press(choice)

    # A sitting.

    def _start(self, message: dict[str, Any], *, looking: bool = False) -> None:
        if self._busy():
            raise SayitError("A sitting goes on already: stop it first.")
        name = self._name()
        if not name:
            raise SayitError("Add a child first: a name or nickname.")
        if self.board.settings.sound == "browser" and self.screen.state == "closed":
            raise SayitError("Open the child's screen first.")
        with open_record(self._record) as record:
            others = () if looking else (other for other in self.board.settings.turns if other != name)
            children = [child for one in (name, *others) if (child := record.child(one))]
        self.parent = DeskParent()
        self.board.begin({child.id: child.name for child in children}, self._now().timestamp(), looking=looking)
        self._worker = threading.Thread(target=self._sit, args=(children, looking), name="sitting", daemon=True)
        self._worker.start()

    def _find(self, message: dict[str, Any]) -> None:
        """Look for the child's place on the path."""
        self._start(message, looking=True)

    def _take_place(self, message: dict[str, Any]) -> str:
        found = self.board.place
        if not found or not found["answers"]:
            raise SayitError("There is no place to take: look for it first.")
        with open_record(self._record) as record:
            child = record.child(found["child"])
            if child is None:
                raise SayitError(f"{found['child']} is not in the record any more.")
            skipped = [slug for slug in learner_of(record, child).skipped if slug != found["step"]]
            told = kept(child, arrange(record, child, {"step": found["step"], "skipped": skipped}, self._here()))
        self.board.change(place=None)
        self._look_ahead()
        return told

    def _leave_place(self, message: dict[str, Any]) -> None:
        self.board.change(place=None)

    def _busy(self) -> bool:
        return self._worker is not None and self._worker.is_alive()

    def _sit(self, children: list[Child], looking: bool) -> None:
        try:
            with ExitStack() as stack:
                self._play(children, looking, stack)
        except Exception as error:
            # Whatever it was, the parent must see it; what was judged is in the record.
            self.board.change(phase="finished", sign="rest", question=None, caption="", needed="")
            told = str(error) if isinstance(error, SayitError) else f"{type(error).__name__}: {error}"
            self.board.notice("stopped", f"The sitting ended early. {told} Every answer that was judged is kept.")
            if not isinstance(error, SayitError):
                raise

    def _play(self, children: list[Child], looking: bool, stack: ExitStack) -> None:
        settings = self.board.settings
        record = stack.enter_context(open_record(self._record))
        seed = SystemRandom().randrange(2**31)
        on_page = settings.sound == "browser"
        voice = PageVoice(lambda: self.board.settings, self.screen if on_page else None, self.parent.cuts)
        if voice.trouble:
            self.board.part("voice", False, voice.trouble)
        ears = self._ears(stack, voice)
        bank, random = open_bank(), Random(seed)

        def speaker(name: str) -> Speaker:
            return Speaker(bank, voice, random=random, report=self._report, child=name)

        if on_page:
            # The greeting waits for the child's touch, so that the first word is heard.
            self.screen.wait(self.parent.cuts)
        host = speaker(children[0].name if len(children) == 1 else "")
        learners = [(child, learner_of(record, child)) for child in children]
        guide = lead(settings, learners, self._here(), seed=seed, looking=looking)
        aims = guide.aims() if isinstance(guide, Led) else ()
        seats = tuple(
            Seat(
                child.name,
                record.start_session(
                    child, at=self._now(), source="microphone" if ears else "keys", seed=seed, aim=aim and aim.skill
                ),
                speaker(child.name),
            )
            for child, aim in zip_longest(children, aims)
        )
        parts = Parts(
            record=record,
            session=seats[0].session,
            guide=guide,
            speaker=host,
            ears=ears,
            listener=self._listener,
            parent=self.parent,
            report=self._report,
            now=self._now,
            pause=PAUSE,
            seats=seats,
        )
        finished = sit(
            parts,
            self.hands,
            minutes=MINUTES if looking else settings.minutes,
            opening=self.board.opening,
            reopen=lambda: self._ears(stack, voice, again=True),
        )
        self._ears_here = None
        if isinstance(guide, Searching):
            name, answers = children[0].name, len(finished.answers)
            found = {"child": name, "step": guide.placement.step, "sure": guide.found, "answers": answers}
            self.board.change(place=found | {"sentence": place_in_words(name, guide, answers)})
        self._look_ahead()

    def _ears(self, stack: ExitStack, voice: PageVoice, *, again: bool = False) -> PageEars | None:
        def rule() -> EndRule:
            return end_rule(self.board.settings)

        def remind() -> None:
            voice.repeat(self._report)

        if self.board.settings.sound == "browser":
            if again and self.screen.state != "ready":
                return None
            return PageEars(self.screen, rule, self._level, remind)
        try:
            microphone = stack.enter_context(Microphone())
        except MicrophoneLost as lost:
            if not again:
                self._report(Notice("no-microphone", f"{lost} Until then you judge what you hear."))
            self.board.part("microphone", False, str(lost))
            return None
        self.board.part("microphone", True, microphone.name)
        self._ears_here = PageEars(microphone, rule, self._level, remind)
        return self._ears_here

    def _report(self, event) -> None:
        self.board.see(event)

    def _level(self, level: float) -> None:
        now = time.monotonic()
        if now - self._told >= _TOLD_EVERY:
            self._told = now
            self._tell_desks({"level": round(level, 3)})
            if self.board.settings.sound == "machine":
                self._tell_screen({"level": round(level, 3)})

    def _hear(self, message: dict[str, Any]) -> None:
        on_page = self._free()
        voice = PageVoice(lambda: self.board.settings, self.screen if on_page else None, lambda: False)

        def say() -> None:
            voice.say(open_bank().choose("sound-check", Random()))
            self.board.part("voice", voice.trouble is None, voice.trouble or "Ready.")

        self._worker = threading.Thread(target=say, name="try voice", daemon=True)
        self._worker.start()

    def _free(self) -> bool:
        """Refuse while a sitting goes on; whether sound goes through the child's screen."""
        if self._busy():
            raise SayitError("Something is heard or said already: wait for its end, or stop the sitting.")
        on_page = self.board.settings.sound == "browser"
        if on_page and self.screen.state != "ready":
            raise SayitError(_SCREEN[self.screen.state])
        return on_page

    # The microphone test.

    def _test(self, message: dict[str, Any]) -> None:
        self._free()
        self.board.change(test={"state": "listening"})
        self._worker = threading.Thread(target=self._listen_once, name="microphone test", daemon=True)
        self._worker.start()

    def _listen_once(self) -> None:
        try:
            with ExitStack() as stack:
                source = self.screen if self.board.settings.sound == "browser" else stack.enter_context(Microphone())
                take = listen(Metered(source, self._level).blocks(), open_detector(), TEST)
        except MicrophoneLost as lost:
            self.board.change(test={"state": "failed", "text": str(lost)})
            return
        level = measure(take.captured)
        heard = take.heard and level.verdict == "good"
        text = f"A voice was heard, {level.speech:.0f} dB below full. " if take.heard else "No voice was heard. "
        self._recorded = wav(take.captured, RATE)
        self.board.change(
            test={
                "state": "done",
                "ok": heard,
                "text": text + (level.advice if level.verdict != "good" else "Play it back and listen."),
                "sound": f"/test.wav?{time.monotonic_ns()}",
            }
        )

    # The parent's own voice.

    def _tell_slots(self) -> None:
        self._tell_desks({"slots": [one.to_dict() for one in own_voice.slots()]})

    def _record_own(self, message: dict[str, Any]) -> None:
        wanted = own_voice.slot(message.get("slot_kind"), message.get("name"))
        self._free()
        self.board.change(test={"state": "listening", "own": wanted.words})
        self._worker = threading.Thread(target=self._take_own, args=(wanted,), name="own voice", daemon=True)
        self._worker.start()

    def _take_own(self, wanted: own_voice.Slot) -> None:
        try:
            with ExitStack() as stack:
                source = self.screen if self.board.settings.sound == "browser" else stack.enter_context(Microphone())
                take = listen(Metered(source, self._level).blocks(), open_detector(), OWN_VOICE)
            if take.heard:
                own_voice.keep(wanted, take.samples)
                text = f"Kept: “{wanted.words}”. Play it and listen."
            else:
                text = "No voice was heard: nothing was kept. Try again, a little nearer."
        except SayitError as error:
            text = str(error)
        self.board.change(test={"state": "own", "text": text})
        self._tell_slots()

    def _forget_own(self, message: dict[str, Any]) -> None:
        own_voice.forget(own_voice.slot(message.get("slot_kind"), message.get("name")))
        self._tell_slots()

    def recorded(self) -> bytes | None:
        """The last microphone test as a WAV file; it is held in memory only and gone with the program."""
        return self._recorded

    def close(self) -> None:
        """The program ends: let a sitting come to its end in the record."""
        self.parent.end()
        self.screen.is_now("closed")
        if self._worker is not None:
            self._worker.join(timeout=3.0)


def _murmur() -> np.ndarray:
    """A second of faint noise."""
    return np.random.default_rng(1).normal(0, 1e-3, RATE).astype(np.float32)
