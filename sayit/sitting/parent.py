"""What the adult beside the child can decide, whatever they decide it with."""

from enum import StrEnum
from typing import Protocol


class Choice(StrEnum):
    """One decision. ``AGAIN`` and ``SKIP`` also set aside the answer that was just judged; ``GO`` waits no longer."""

    RIGHT = "right"
    WRONG = "wrong"
    AGAIN = "again"
    SKIP = "skip"
    STOP = "stop"
    GO = "go"


class Parent(Protocol):
    """Where decisions come from. ``present`` is False where nobody can be waited for."""

    present: bool

    def decide(self, seconds: float | None) -> Choice | None:
        """The next decision, waiting at most ``seconds`` (0: only what is there, None: for as long as it takes)."""
        ...


class NobodyThere:
    """No parent at hand: every wait ends at once without a decision."""

    present = False

    def decide(self, seconds: float | None) -> Choice | None:
        return None
