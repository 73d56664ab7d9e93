"""What the two pages can have done, put together from the parts of the desk."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sayit.errors import SayitError
from sayit.hearing.loading import Loading
from sayit.page.backstage import SCREEN_IS, UNKNOWN, Backstage
from sayit.page.board import Board
from sayit.page.corrections import Corrections
from sayit.page.household import Children
from sayit.page.own_voice import OwnVoice
from sayit.page.papers import Papers
from sayit.page.preferences import Preferences
from sayit.page.restoring import Restoring
from sayit.page.screen import Screen
from sayit.page.sittings import Sittings
from sayit.page.sound_check import SoundCheck
from sayit.sitting.clock import elapsed
from sayit.sound.audio import RATE
from sayit.store.settings import Settings

__all__ = ["Desk"]

Command = Callable[[dict[str, Any]], str | None]


class Desk:
    """Everything behind the page. Its methods are called from the server's thread; a sitting has its own.

    ``tell_screen`` and ``tell_desks`` send a message to the child's screen and to
    every open desk; ``changed`` says that both must be drawn anew; ``now`` gives the time, ``seconds``
    a count that nobody sets. The same ``seed`` asks the same.
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
        seconds: Callable[[], float] = elapsed,
        seed: int | None = None,
    ) -> None:
        self.board = Board(Settings(), changed)
        self.screen = Screen(tell_screen)
        self._stage = Backstage(
            board=self.board,
            screen=self.screen,
            listener=listener,
            tell_screen=tell_screen,
            tell_desks=tell_desks,
            record=record,
            now=now,
            seconds=seconds,
        )
        self.own = self._stage.own
        self._household = Children(self._stage)
        self._preferences = Preferences(self._stage, self._household)
        self._sittings = Sittings(self._stage, self._household, seed)
        trials = (SoundCheck(self._stage), OwnVoice(self._stage))
        self.commands: dict[str, Command] = {"forget": lambda message: self.board.forget(str(message.get("notice")))}
        self.papers = Papers(self._stage)
        self.restoring = Restoring(self._stage, self._anew)
        corrections = Corrections(self._stage, self._household, self._sittings)
        for part in (corrections, self._household, self._preferences, self._sittings, *trials):
            self.commands |= part.commands
        self._household.look()
        self._preferences.look()

    def _anew(self) -> None:
        """Another record stands in the place of the one before: nothing on the pages may be of that one."""
        self._sittings.leave_place({})
        self.board.clear()
        self._household.look()
        self._preferences.look()

    def wants(self, kind: str, message: dict[str, Any]) -> str | None:
        """Carry out what the parent wants; what to tell about it, if anything. ``SayitError``, one line, where it cannot be."""
        if kind not in self.commands:
            raise SayitError(UNKNOWN)
        return self.commands[kind](message)

    def screen_is(self, state: str, rate: int = RATE) -> None:
        """The child's screen was opened, touched, closed, or its microphone came or went."""
        before = self.screen.state
        self.screen.is_now(state, rate)
        self._preferences.look_at_screen()
        if not self.board.running or state == before or not self._stage.on_page:
            return
        if state == "ready":
            self.board.forget("screen")
        elif before == "ready":
            self.board.notice("screen", f"{SCREEN_IS[state]} Nothing that was judged is lost.")

    def sound(self, number: str) -> bytes | None:
        """The WAV file that a page was told to play."""
        return self.screen.sound(number) or self.own.sound(number)

    def seconds(self) -> float:
        """A count that goes on while the machine sleeps."""
        return self._stage.seconds()

    def woke(self) -> None:
        """The machine slept."""
        self._sittings.woke()

    def touched(self) -> None:
        """The child put a first digit down."""
        self._sittings.hands.touched()

    def placed(self, digits: str) -> None:
        """The child's digits are complete."""
        if digits.isascii() and digits.isdigit() and len(digits) <= 7:
            self._sittings.hands.give(digits)

    def recorded(self) -> bytes | None:
        """What the microphone heard last in a trial as a WAV file; it is held in memory only and gone with the program."""
        return self._stage.recorded

    def close(self) -> None:
        """The program ends: let a sitting come to its end in the record."""
        self._sittings.parent.end()
        self.screen.is_now("closed")
        self._stage.join(3.0)
        if any(notice["kind"] == "record-busy" for notice in self.board.state.notices):
            # An answer may wait for another program to let the record go.
            self._stage.join(30.0)
