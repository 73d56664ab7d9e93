"""What an attack came to, in figures."""

import time
from contextlib import contextmanager
from dataclasses import dataclass

import pytest


@dataclass
class Tally:
    """``lost`` and ``crossed`` count answers, ``longest`` is in seconds."""

    what: str
    tried: int = 0
    lost: int = 0
    crossed: int = 0
    tracebacks: int = 0
    longest: float = 0.0

    @contextmanager
    def one(self):
        """One try, and how long it takes."""
        self.tried += 1
        began = time.monotonic()
        yield
        self.longest = max(self.longest, time.monotonic() - began)

    def nothing_lost(self):
        assert (self.lost, self.crossed, self.tracebacks) == (0, 0, 0)


@pytest.fixture
def tally(request):
    """The figures of one attack, printed at its end."""
    found = Tally(request.node.name)
    yield found
    print(
        f"\n{found.what}: tried {found.tried}, answers lost {found.lost}, crossed {found.crossed}, "
        f"tracebacks {found.tracebacks}, longest {found.longest:.2f} s"
    )
