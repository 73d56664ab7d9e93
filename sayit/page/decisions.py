"""What the parent at the desk decides, on its way to the turn."""

import queue
import threading
from collections.abc import Callable

from sayit.sitting.parent import Choice

__all__ = ["DeskParent"]

_CUTS = (Choice.AGAIN, Choice.SKIP, Choice.STOP)


class DeskParent:
    """The parent at the desk: decisions arrive from the server and are waited for by the turn.

    ``stopped`` is True once the sitting was to end. While it is held, the turn waits here for the next decision.
    ``seconds`` is a count of time that nobody sets.
    """

    present = True

    def __init__(self, seconds: Callable[[], float]) -> None:
        self._seconds = seconds
        self._rests: tuple[float, float | None] = 0.0, None
        """How many seconds were rests, and since when there is one; always set as one, for any thread may look."""
        self._pressed: queue.SimpleQueue[Choice] = queue.SimpleQueue()
        self._goes = threading.Event()
        self._goes.set()
        self._cut = False
        self._ending = False
        self.stopped = False

    def end(self) -> None:
        """The program ends: stop, and let nothing more be said."""
        self._ending = True
        self.press(Choice.STOP)

    def hold(self) -> None:
        """Let the turn wait once what is being said was said."""
        if self._goes.is_set():
            self._rests = self.rested(), self._seconds()
            self._goes.clear()

    def go_on(self) -> None:
        """Wait no longer."""
        self._rests = self.rested(), None
        self._goes.set()

    def rested(self) -> float:
        """Seconds of the sitting that everything was let rest."""
        before, since = self._rests
        return before if since is None else before + self._seconds() - since

    def press(self, choice: Choice) -> None:
        """Decide; nothing is held any more."""
        self._cut = self._cut or choice in _CUTS
        self.stopped = self.stopped or choice is Choice.STOP
        self._pressed.put(choice)
        self.go_on()

    def cuts(self) -> bool:
        """Whether a decision waits that makes what is being said pointless."""
        return self._cut or self._ending

    def decide(self, seconds: float | None) -> Choice | None:
        """The next decision, waiting at most ``seconds`` (0: only what is there, None: for as long as it takes)."""
        self._goes.wait()
        try:
            choice = self._pressed.get(timeout=seconds) if seconds else self._pressed.get(block=seconds is None)
        except queue.Empty:
            return None
        self._cut = False
        return choice
