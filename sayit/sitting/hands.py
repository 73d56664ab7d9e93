"""Where an answer by hand comes from: digits put down, or one of two numbers chosen."""

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

    def wait(self, question: Question, interrupted: Callable[[], bool]) -> Placed | None:
        """The next complete answer to ``question`` from now on; None once ``interrupted()`` is true."""
        ...


class TouchHands:
    """What comes from the child's fingers; told by the server, waited for by the turn."""

    def __init__(self) -> None:
        self._given: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._first: float | None = None

    def touched(self) -> None:
        """A first digit was put down."""
        self._first = self._first or time.monotonic()

    def give(self, digits: str) -> None:
        """The digits are complete."""
        self.touched()
        self._given.put(digits)

    def wait(self, question: Question, interrupted: Callable[[], bool]) -> Placed | None:
        """The next complete answer from now on; None once ``interrupted()`` is true."""
        began, self._first = time.monotonic(), None
        while not self._given.empty():
            self._given.get()
        while not interrupted():
            try:
                digits = self._given.get(timeout=0.05)
            except queue.Empty:
                continue
            return Placed(digits, max(0.0, self._first - began) if self._first else None)
        return None
