"""The keyboard shared by two: the parent's letters, and the digits that the child types."""

import time
from collections import deque
from collections.abc import Callable

from sayit.practice.question import Question
from sayit.sitting.hands import Placed
from sayit.sitting.parent import Choice
from sayit.terminal.keys import BACK, ENTER, Keys

__all__ = ["CHOICES", "KeyHands", "KeyParent"]

CHOICES = {
    "r": Choice.RIGHT,
    "w": Choice.WRONG,
    "a": Choice.AGAIN,
    "s": Choice.SKIP,
    "q": Choice.STOP,
    "g": Choice.GO,
    " ": Choice.GO,
    ENTER: Choice.GO,
}

MOST_DIGITS = 7
CLAP = " "
_LOOKS_EVERY = 0.02
_CLAPPED_SECONDS = 1.5
"""After so long without another clap they are complete."""


class KeyParent:
    """A parent at the keyboard. ``present`` False: keys work, but nothing waits for them.

    While ``typed`` is a queue, digits, ``BACK`` and ``ENTER`` go there with the moment they came
    (``time.monotonic``), and the space bar where ``claps`` are counted; the letters stay the parent's.
    """

    def __init__(self, keys: Keys, *, present: bool = True) -> None:
        self.present = present
        self.typed: deque[tuple[str, float]] | None = None
        self.claps = False
        self._keys = keys

    def decide(self, seconds: float | None) -> Choice | None:
        try:
            while key := self._keys.wait(seconds):
                if self.typed is not None and (key.isdigit() or key in (BACK, ENTER) or (self.claps and key == CLAP)):
                    self.typed.append((key, time.monotonic()))
                elif key in CHOICES:
                    return CHOICES[key]
        except EOFError:
            return Choice.STOP
        return None


class KeyHands:
    """Digits typed by the child; ``show`` is told what stands there after each key.

    A number is ended by Enter; of two numbers the key 1 or 2 chooses. Claps are counted by the space bar.
    """

    def __init__(self, parent: KeyParent, show: Callable[[str], None]) -> None:
        self._parent = parent
        self._show = show
        self._question: Question | None = None
        self._since = 0.0

    @property
    def begun(self) -> bool:
        """Whether something was typed since the question began."""
        return bool(self._parent.typed)

    def begin(self, question: Question) -> None:
        """What is typed from now on is an answer."""
        self._question, self._since = question, time.monotonic()
        self._parent.typed, self._parent.claps = deque(), question.clapped

    def end(self) -> None:
        """What is typed from now on is the parent's again."""
        self._parent.typed, self._parent.claps = None, False

    def wait(self, interrupted: Callable[[], bool]) -> Placed | None:
        """What is typed; None once ``interrupted()`` is true."""
        typed, question = self._parent.typed, self._question
        if typed is None or question is None:
            return None
        try:
            return self._clapped(typed, interrupted) if question.clapped else self._put(typed, question, interrupted)
        finally:
            self.end()

    def _put(
        self, typed: deque[tuple[str, float]], question: Question, interrupted: Callable[[], bool]
    ) -> Placed | None:
        first, digits = None, ""
        while not interrupted():
            while typed:
                key, at = typed.popleft()
                first = first or (at if key.isdigit() else None)
                if question.way == "choice":
                    if key in ("1", "2"):
                        return Placed(str(question.about[int(key) - 1]), at - self._since)
                elif key == ENTER and digits:
                    return Placed(digits, first - self._since if first else None)
                elif key == BACK:
                    digits = digits[:-1]
                elif key.isdigit() and len(digits) < MOST_DIGITS:
                    digits += key
                self._show(digits)
            time.sleep(_LOOKS_EVERY)
        return None

    def _clapped(self, typed: deque[tuple[str, float]], interrupted: Callable[[], bool]) -> Placed | None:
        while not interrupted():
            claps = [at for key, at in typed if key == CLAP]
            if claps and time.monotonic() - claps[-1] >= _CLAPPED_SECONDS:
                return Placed(str(len(claps)), claps[0] - self._since)
            time.sleep(_LOOKS_EVERY)
        return None
