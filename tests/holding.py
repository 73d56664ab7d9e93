"""Another program that holds the record, a real one."""

import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

_HOLD = """
import sqlite3, sys
held = sqlite3.connect(sys.argv[1], isolation_level=None)
held.execute("BEGIN IMMEDIATE")
print("held", flush=True)
sys.stdin.readline()
"""


class Holder:
    """Writes to the record at ``path`` from ``take`` on until it is told to ``let_go``."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._program: subprocess.Popen | None = None

    def take(self) -> None:
        self._program = subprocess.Popen(
            [sys.executable, "-c", _HOLD, str(self._path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        assert self._program.stdout.readline() == "held\n"

    def let_go(self) -> None:
        if self._program:
            self._program.communicate("\n")
        self._program = None


@contextmanager
def held(path: Path):
    """The record is held meanwhile."""
    holder = Holder(path)
    holder.take()
    try:
        yield holder
    finally:
        holder.let_go()
