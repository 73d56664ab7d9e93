"""Where an answer by hand comes from: digits put down, one of two numbers chosen, or claps counted by touches."""

import queue
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from sayit.practice.question import Question

__all__ = ["Hands", "Placed", "TouchHands"]


@dataclass(frozen=True, slots=True)
class Placed:
    """``digits`` that were put down or touched, and the ``response_seconds`` from the end of the prompt to the first of them."""

    digits: str
    response_seconds: float | None


class Hands(Protocol):
    """A source of answers by hand."""

    @property
    def begun(self) -> bool:
        """Whether something came since the question began."""
        ...

    def begin(self, question: Question) -> None:
        """What comes from now on is an answer to ``question``."""
        ...

    def end(self) -> None:
        """What comes from now on is none."""
        ...

    def wait(self, interrupted: Callable[[], bool]) -> Placed | None:
        """The complete answer; None once ``interrupted()`` is true. For claps its digits tell how many."""
        ...


class TouchHands:
    """What comes from the child's fingers; told by the server, waited for by the turn."""

    def __init__(self) -> None:
        self._given: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._first: float | None = None
        self._since = 0.0

    @property
    def begun(self) -> bool:
        """Whether something was touched since the question began."""
        return self._first is not None

    def touched(self) -> None:
        """A first digit was put down."""
        self._first = self._first or time.monotonic()

    def give(self, digits: str) -> None:
        """The digits are complete."""
        self.touched()
        self._given.put(digits)

    def begin(self, question: Question) -> None:
        """What comes from now on is an answer."""
        while not self._given.empty():
            self._given.get()
        self._since, self._first = time.monotonic(), None

    def end(self) -> None:
        """What is touched from now on is no answer."""

    def wait(self, interrupted: Callable[[], bool]) -> Placed | None:
        """The complete answer; None once ``interrupted()`` is true."""
        while not interrupted():
            try:
                digits = self._given.get(timeout=0.05)
            except queue.Empty:
                continue
            return Placed(digits, max(0.0, self._first - self._since) if self._first else None)
        return None
