"""The command line as a user runs it: a program of its own."""

import json
import os
import subprocess
import sys
from pathlib import Path

CHECKOUT = Path(__file__).parents[2]
COMMAND = [sys.executable, "-m", "sayit"]


def environment(home: Path) -> dict[str, str]:
    return {**os.environ, "SAYIT_HOME": str(home), "PYTHONPATH": str(CHECKOUT), "PYTHONIOENCODING": "utf-8"}


def run(*args: str, home: Path, timeout: float = 300, **options) -> subprocess.CompletedProcess:
    return subprocess.run(
        [*COMMAND, *args],
        env=environment(home),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=timeout,
        **options,
    )


def objects(finished: subprocess.CompletedProcess) -> list[dict]:
    """The lines of ``--json``, each exactly one object."""
    assert finished.returncode == 0, finished.stderr
    entries = [json.loads(line) for line in finished.stdout.splitlines()]
    assert all(isinstance(entry, dict) for entry in entries)
    return entries


def refused(finished: subprocess.CompletedProcess) -> str:
    """The one line of a refusal."""
    assert finished.returncode == 2, finished
    assert finished.stdout == ""
    lines = finished.stderr.splitlines()
    assert len(lines) == 1, finished.stderr
    assert lines[0].startswith("sayit: ")
    return lines[0]
