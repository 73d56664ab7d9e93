"""What an attack came to, in figures."""

import sys
import time
from contextlib import contextmanager
from dataclasses import dataclass

import pytest

from sayit.commands import main


@dataclass
class Tally:
    """``lost`` and ``crossed`` count answers, ``longest`` is in seconds."""

    what: str
    tried: int = 0
    lost: int = 0
    crossed: int = 0
    tracebacks: int = 0
    odd_codes: int = 0
    longest: float = 0.0

    @contextmanager
    def one(self):
        """One try, and how long it takes."""
        self.tried += 1
        began = time.monotonic()
        yield
        self.longest = max(self.longest, time.monotonic() - began)

    def call(self, capsys, args, codes=(0, 2, 130)):
        """The exit status of one call of the command line, counted; what went wrong is shown with its arguments."""
        with self.one():
            try:
                code = main(list(args))
            except BaseException as error:  # noqa: BLE001, whatever it is, it is counted
                self.tracebacks += 1
                print(f"{args}: {error!r}", file=sys.__stderr__)
                return None
        told = capsys.readouterr()
        lines = told.err.splitlines()
        # One line, or one for each file that was named.
        if code not in codes or (code == 2 and not all(line.startswith("sayit: ") for line in lines or [""])):
            self.odd_codes += 1
            print(f"{args}: {code} {told.err}", file=sys.__stderr__)
        return code

    def nothing_lost(self):
        assert (self.lost, self.crossed, self.tracebacks, self.odd_codes) == (0, 0, 0, 0)


@pytest.fixture
def tally(request):
    """The figures of one attack, printed at its end."""
    found = Tally(request.node.name)
    yield found
    print(
        f"\n{found.what}: tried {found.tried}, answers lost {found.lost}, crossed {found.crossed}, "
        f"tracebacks {found.tracebacks}, exit codes other than 0, 2 and 130 {found.odd_codes}, longest {found.longest:.2f} s"
    )
