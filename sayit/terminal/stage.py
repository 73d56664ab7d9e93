"""The place under the lines where the child sees something."""

from threading import RLock, Timer

from rich.console import Console
from rich.live import Live
from rich.text import Text

from sayit.practice.question import Question
from sayit.terminal import picture

__all__ = ["Stage"]

_INDENT = " " * 5


class Stage:
    """The place under the lines where the child sees something: drawn, changed, and wiped away again.

    ``usable`` is False where output does not go to a terminal.
    """

    def __init__(self, console: Console) -> None:
        self._console = console
        self._live: Live | None = None
        self._timer: Timer | None = None
        self._question: Question | None = None
        self._lock = RLock()

    @property
    def usable(self) -> bool:
        return self._console.is_terminal and not self._console.is_dumb_terminal

    @property
    def full(self) -> bool:
        """Whether something stands there."""
        return self._live is not None

    def show(self, question: Question) -> None:
        """Draw what the question shows, or room for the digits typed; a glimpse wipes itself away."""
        self.clear()
        if not self.usable or not (question.show or question.way != "spoken"):
            return
        with self._lock:
            self._question = question
            self._live = Live(
                console=self._console, auto_refresh=False, transient=True, redirect_stdout=False, redirect_stderr=False
            )
            self._live.start()
            # A program that is killed meanwhile could not bring it back.
            self._console.show_cursor(True)
            self._draw("")
            if question.show and question.show.seconds:
                self._timer = Timer(question.show.seconds, self._wipe, (question,))
                self._timer.daemon = True
                self._timer.start()

    def typed(self, digits: str) -> None:
        """Draw the digits that stand there now."""
        with self._lock:
            if self._live:
                self._draw(digits)

    def clear(self) -> None:
        """Wipe it away."""
        with self._lock:
            if self._timer:
                self._timer.cancel()
            if self._live:
                self._live.stop()
            self._live = self._timer = self._question = None

    def _wipe(self, question: Question) -> None:
        with self._lock:
            if self._question is question:
                self.clear()

    def _draw(self, digits: str) -> None:
        if not (self._live and self._question):
            return
        rows = picture.picture(self._question.show)
        if self._question.way == "digits":
            rows = [*rows, *picture.digits(digits)]
        if not _has_blocks(self._console):
            rows = picture.plain(rows)
        text = Text("\n".join(["", *(_INDENT + row for row in rows), ""]), style="bold", no_wrap=True, overflow="crop")
        self._live.update(text, refresh=True)


def _has_blocks(console: Console) -> bool:
    try:
        "█▟▙▜▛".encode(console.encoding)
    except (LookupError, UnicodeEncodeError):
        return False
    return True
