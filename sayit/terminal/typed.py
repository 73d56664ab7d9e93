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
_LOOKS_EVERY = 0.02


class KeyParent:
    """A parent at the keyboard. ``present`` False: keys work, but nothing waits for them.

    While ``typed`` is a queue, digits, ``BACK`` and ``ENTER`` go there with the moment they came
    (``time.monotonic``); the letters stay the parent's.
    """

    def __init__(self, keys: Keys, *, present: bool = True) -> None:
        self.present = present
        self.typed: deque[tuple[str, float]] | None = None
        self._keys = keys

    def decide(self, seconds: float | None) -> Choice | None:
        try:
            while key := self._keys.wait(seconds):
                if self.typed is not None and (key.isdigit() or key in (BACK, ENTER)):
                    self.typed.append((key, time.monotonic()))
                elif key in CHOICES:
                    return CHOICES[key]
        except EOFError:
            return Choice.STOP
        return None


class KeyHands:
    """Digits typed by the child; ``show`` is told what stands there after each key.

    A number is ended by Enter; of two numbers the key 1 or 2 chooses.
    """

    def __init__(self, parent: KeyParent, show: Callable[[str], None]) -> None:
        self._parent = parent
        self._show = show

    def wait(self, question: Question, interrupted: Callable[[], bool]) -> Placed | None:
        """What is typed from now on; None once ``interrupted()`` is true."""
        typed: deque[tuple[str, float]] = deque()
        self._parent.typed = typed
        began, first, digits = time.monotonic(), None, ""
        try:
            while not interrupted():
                while typed:
                    key, at = typed.popleft()
                    first = first or (at if key.isdigit() else None)
                    if question.way == "choice":
                        if key in ("1", "2"):
                            return Placed(str(question.about[int(key) - 1]), at - began)
                    elif key == ENTER and digits:
                        return Placed(digits, first - began if first else None)
                    elif key == BACK:
                        digits = digits[:-1]
                    elif key.isdigit() and len(digits) < MOST_DIGITS:
                        digits += key
                    self._show(digits)
                time.sleep(_LOOKS_EVERY)
            return None
        finally:
            self._parent.typed = None
