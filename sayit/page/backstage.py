"""What the parts of the desk share: the board, the child's screen, the record, the clock, and one thing at a time."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager, ExitStack
from datetime import datetime
from pathlib import Path
from typing import Any

from sayit import paths
from sayit.errors import SayitError
from sayit.hearing.capture import Microphone, Source
from sayit.hearing.endpoint import EndRule, Take, listen, open_detector
from sayit.hearing.loading import Loading
from sayit.page.board import Board
from sayit.page.screen import Screen
from sayit.page.senses import Metered
from sayit.store import Record, open_record
from sayit.store.settings import Settings, changed, keep_settings

__all__ = ["SCREEN_IS", "UNKNOWN", "Backstage"]

UNKNOWN = "The page asked for something unknown: reload it."
SCREEN_IS = {
    "closed": "Open the child's screen.",
    "open": "Touch the child's screen once: a browser gives sound only then.",
    "ready": "Ready.",
    "lost": "The microphone went away: plug it in again.",
    "denied": "The browser may not listen: allow the microphone beside the address, then reload the page.",
    "speaks": "The microphone was not opened: reload the page.",
}
"""What the parent reads of each state of the child's screen."""

_TOLD_EVERY = 0.1


class Backstage:
    """Behind both pages.

    ``own`` is the desk's loudspeaker and microphone, for trials while the child's screen is not open; ``recorded`` is the last
    trial of a microphone as a WAV file, held in memory only.
    ``tell_screen`` and ``tell_desks`` send a message to the child's screen and to every open desk; ``now`` gives the time,
    ``seconds`` a count that nobody sets. ``path`` is the household's record. What takes time runs in one thread at a time.
    """

    def __init__(
        self,
        *,
        board: Board,
        screen: Screen,
        listener: Loading,
        tell_screen: Callable[[dict[str, Any]], None],
        tell_desks: Callable[[dict[str, Any]], None],
        record: Path | None,
        now: Callable[[], datetime],
        seconds: Callable[[], float],
    ) -> None:
        self.board = board
        self.screen = screen
        self.own = Screen(tell_desks, "desk-")
        self.recorded: bytes | None = None
        self.listener = listener
        self.now = now
        self.seconds = seconds
        self.tell_desks = tell_desks
        self.tell_screen = tell_screen
        self.path = record or paths.record()
        self._worker: threading.Thread | None = None
        self._told = 0.0

    def record(self) -> AbstractContextManager[Record]:
        """The household's record, opened for this thread."""
        return open_record(self.path)

    def here(self) -> datetime:
        """Now in the household's own time zone, in which its days begin and end."""
        return self.now().astimezone()

    @property
    def on_page(self) -> bool:
        """Whether sound goes through the child's screen."""
        return self.board.settings.sound == "browser"

    @property
    def device(self) -> Screen:
        """The page that a trial is heard and spoken by: the child's screen, or the desk where that is not ready."""
        return self.screen if self.screen.state == "ready" or self.own.state == "closed" else self.own

    @property
    def name(self) -> str:
        """The child that the next sitting is with, "" where there is none."""
        chosen, children = self.board.settings.child, self.board.state.children
        return chosen if chosen in children else (children or ("",))[0]

    def set(self, wanted: Mapping[str, Any]) -> Settings:
        """Change the household's settings and keep them; ``SayitError`` for what makes no sense."""
        settings = changed(self.board.settings, wanted)
        with self.record() as record:
            keep_settings(record, settings)
        self.board.change(settings=settings)
        return settings

    def busy(self) -> bool:
        """Whether something is heard or said, or a sitting goes on."""
        return self._worker is not None and self._worker.is_alive()

    def free(self, *, to_play: bool = False) -> None:
        """``SayitError`` while something goes on, or where no page can listen (``to_play``: or speak)."""
        if self.busy():
            raise SayitError("Something is heard or said already: wait for its end, or stop the sitting.")
        state = self.device.state
        if self.on_page and state != "ready" and (not to_play or state in ("closed", "open")):
            raise SayitError(SCREEN_IS[state])

    def work(self, name: str, do: Callable[[], None]) -> None:
        """Do something that takes time, and that nothing else may disturb."""
        self._worker = threading.Thread(target=do, name=name, daemon=True)
        self._worker.start()

    def join(self, seconds: float) -> None:
        """Wait at most so long for what goes on."""
        if self._worker is not None:
            self._worker.join(timeout=seconds)

    def listen_once(self, rule: EndRule) -> Take:
        """One take from the microphone that the household chose.  Raises MicrophoneLost."""
        with ExitStack() as stack:
            source: Source = self.device if self.on_page else stack.enter_context(Microphone())
            return listen(Metered(source, self.level).blocks(), open_detector(), rule)

    def level(self, level: float) -> None:
        """Show how loud it is, 0 to 1; not more often than can be seen."""
        now = time.monotonic()
        if now - self._told >= _TOLD_EVERY:
            self._told = now
            self.tell_desks({"level": round(level, 3)})
            if not self.on_page:
                self.tell_screen({"level": round(level, 3)})


def in_background(name: str, do: Callable[[], None]) -> None:
    """Look something up without making anybody wait; several may do so at once."""
    threading.Thread(target=do, name=name, daemon=True).start()
