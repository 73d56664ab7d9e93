"""The desk's part for sittings: begin, decide, find a place, and come back after a sleep."""

from __future__ import annotations

from contextlib import ExitStack
from typing import Any

from sayit.errors import SayitError
from sayit.hearing.capture import Microphone, MicrophoneLost
from sayit.hearing.endpoint import EndRule
from sayit.page.backstage import Backstage
from sayit.page.decisions import DeskParent
from sayit.page.household import Children, kept_in_words
from sayit.page.senses import PageEars, PageVoice
from sayit.sitting.devices import Devices, end_rule
from sayit.sitting.events import Event, Notice
from sayit.sitting.found import Found, found_by, settle
from sayit.sitting.hands import TouchHands
from sayit.sitting.parent import Choice
from sayit.sitting.setup import set_up
from sayit.sitting.sit import sit
from sayit.sitting.wishes import Free, Wishes
from sayit.store import Child
from sayit.store.arrangement import arrangement_of
from sayit.store.checks import Gone

__all__ = ["Sittings"]


class Sittings:
    """The commands of a sitting; each sitting runs in a thread of its own."""

    def __init__(self, stage: Backstage, household: Children, seed: int | None) -> None:
        self._stage = stage
        self._household = household
        self._seed = seed
        self._ears: PageEars | None = None
        self._found: Found | None = None
        self.parent = DeskParent(stage.seconds)
        self.hands = TouchHands()
        self.commands = {
            "start": self.start,
            "find": self.find,
            "take-place": self.take_place,
            "leave-place": self.leave_place,
            "pause": self.pause,
            "resume": self.resume,
        }

    def start(self, message: dict[str, Any]) -> None:
        """Begin a sitting of the child chosen and of those who take turns with it."""
        self._begin(self._wishes(), with_turns=True, here=bool(message.get("here")))

    def find(self, message: dict[str, Any]) -> None:
        """Look for the child's place."""
        self._begin(Wishes(placing=True, seed=self._seed), with_turns=False, here=bool(message.get("here")))

    def take_place(self, message: dict[str, Any]) -> str:
        """Let the child go on at the place that was found."""
        found = self._found
        if not found or not found.answers:
            raise SayitError("There is no place to take: look for it first.")
        with self._stage.record() as record:
            child = record.child(found.child.name)
            if child is None or child.id != found.child.id:
                raise SayitError(f"{found.child.name} is not in the record any more.")
            settle(record, found)
            told = kept_in_words(child, arrangement_of(record, child))
        self.leave_place(message)
        self._household.look_ahead()
        return told

    def leave_place(self, message: dict[str, Any]) -> None:
        """Leave the child where it is."""
        self._found = None
        self._stage.board.change(place=None)

    def press(self, choice: Choice) -> None:
        """What the parent decided of the open question; a pause is over."""
        if choice is Choice.GO and self._stage.board.state.paused:
            self.resume({})
            return
        self._stage.board.change(paused=False)
        self.parent.press(choice)

    def pause(self, message: dict[str, Any]) -> None:
        """Let everything rest: nothing is heard or asked until the parent goes on."""
        if self._stage.board.running:
            self._stage.board.change(paused=True)
            self.parent.hold()

    def resume(self, message: dict[str, Any]) -> None:
        """Go on; a question that was open is asked anew, for nobody knows it after a rest."""
        board = self._stage.board
        if board.state.paused:
            board.change(paused=False)
            self.parent.press(Choice.AGAIN) if board.state.asking else self.parent.go_on()

    def woke(self) -> None:
        """The machine slept."""
        if self._stage.board.running:
            self._stage.screen.restart()
            if self._ears:
                self._ears.restart()
            self._stage.board.notice("woke", "The machine slept. The open question is asked again; nothing is lost.")

    def _wishes(self) -> Wishes:
        settings = self._stage.board.settings
        free = None if settings.plan else Free(settings.low, settings.high, settings.ways)
        return Wishes(minutes=settings.minutes, free=free, seed=self._seed)

    def _begin(self, wishes: Wishes, *, with_turns: bool, here: bool) -> None:
        """Begin; ``here`` says that this very page turns into the child's screen now."""
        stage = self._stage
        if stage.busy():
            raise SayitError("A sitting goes on already: stop it first.")
        name = stage.name
        if not name:
            raise SayitError("Add a child first: a name or nickname.")
        if stage.on_page and stage.screen.state == "closed" and not here:
            raise SayitError("Open the child's screen first.")
        others = [other for other in stage.board.settings.turns if other != name] if with_turns else []
        with stage.record() as record:
            children = [child for one in (name, *others) if (child := record.child(one))]
        self.parent = DeskParent(stage.seconds)
        self._found = None
        names = {child.id: child.name for child in children}
        stage.board.begin(names, stage.now().timestamp(), looking=wishes.placing)
        stage.work("sitting", lambda: self._sit(children, wishes))

    def _sit(self, children: list[Child], wishes: Wishes) -> None:
        try:
            with ExitStack() as stack:
                self._play(children, wishes, stack)
        except Exception as error:
            # Whatever it was, the parent must see it; what was judged is in the record.
            board = self._stage.board
            board.change(phase="finished", sign="rest", question=None, caption="", needed="")
            told = str(error) if isinstance(error, SayitError) else f"{type(error).__name__}: {error}"
            rest = "" if isinstance(error, Gone) else " Every answer that was kept before stays."
            board.notice("stopped", f"The sitting ended early. {told}{rest}")
            if not isinstance(error, SayitError):
                raise

    def _play(self, children: list[Child], wishes: Wishes, stack: ExitStack) -> None:
        stage = self._stage
        record = stack.enter_context(stage.record())
        on_page = stage.on_page
        voice = PageVoice(
            lambda: stage.board.settings, stage.screen if on_page else None, self._cuts, stage.tell_screen
        )
        if voice.trouble:
            stage.board.part("voice", False, voice.trouble)
        ears = self._open_ears(stack, voice)
        if on_page:
            # The greeting waits for the child's touch, so that the first word is heard.
            stage.screen.wait(self._cuts, to_play=True)
        devices = Devices(
            voice=voice,
            listener=stage.listener,
            parent=self.parent,
            ears=ears,
            hands=self.hands,
            source="microphone" if ears else "keys",
            reopen=lambda: self._open_ears(stack, voice, again=True),
        )
        table = set_up(
            record,
            children,
            wishes,
            devices,
            report=self._report,
            now=stage.now,
            seconds=stage.seconds,
            rested=self.parent.rested,
        )
        try:
            sit(table)
        finally:
            self._ears = None
        if found := found_by(table):
            self._found = found
            view = {"child": found.child.name, "step": found.step, "sure": found.sure, "answers": found.answers}
            stage.board.change(place=view | {"sentence": found.sentence})
        self._household.look_ahead()

    def _cuts(self) -> bool:
        """Whether what is being said is pointless: decided meanwhile, or a farewell to a screen that is gone."""
        return self.parent.cuts() or (
            self.parent.stopped and self._stage.on_page and self._stage.screen.state == "closed"
        )

    def _open_ears(self, stack: ExitStack, voice: PageVoice, *, again: bool = False) -> PageEars | None:
        stage = self._stage

        def rule() -> EndRule:
            return end_rule(stage.board.settings)

        def remind() -> None:
            voice.repeat(self._report)

        if stage.on_page:
            if again and stage.screen.state != "ready":
                return None
            return PageEars(stage.screen, rule, stage.level, remind, wait=stage.screen.wait)
        try:
            microphone = stack.enter_context(Microphone())
        except MicrophoneLost as lost:
            if not again:
                self._report(Notice("no-microphone", f"{lost} Until then you judge what you hear."))
            stage.board.part("microphone", False, str(lost))
            return None
        stage.board.part("microphone", True, microphone.name)
        self._ears = PageEars(microphone, rule, stage.level, remind)
        return self._ears

    def _report(self, event: Event) -> None:
        self._stage.board.see(event)
