"""One desk for a household: a second start has the first one open its page again."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

__all__ = ["answering", "knocked"]

_HERE, _KNOCK = "desk-here", "desk-knock"
_LOOK_SECONDS = 0.3
_WAIT_SECONDS = 4.0
"""A desk that runs looks so often; one that has not looked by then is none any more."""


def knocked(folder: Path) -> bool:
    """Ask a desk that runs with the record in ``folder`` to open its page again; False where none runs."""
    if not (folder / _HERE).exists():
        return False
    knock = folder / _KNOCK
    try:
        knock.touch(mode=0o600)
    except OSError:
        return False
    until = time.monotonic() + _WAIT_SECONDS
    while time.monotonic() < until:
        if not knock.exists():
            return True
        time.sleep(0.05)
    knock.unlink(missing_ok=True)
    return False


@contextmanager
def answering(folder: Path, open_again: Callable[[], None]) -> Iterator[None]:
    """Be the desk of ``folder`` meanwhile: ``open_again`` is called, in a thread of its own, for each second start."""
    over = threading.Event()
    here, knock = folder / _HERE, folder / _KNOCK

    def look() -> None:
        while not over.wait(_LOOK_SECONDS):
            if knock.exists():
                # Opened first: whoever knocked ends when the sign is gone.
                open_again()
                knock.unlink(missing_ok=True)

    # Without the sign a second start runs beside this one, as it did before.
    with suppress(OSError):
        here.touch(mode=0o600)
        knock.unlink(missing_ok=True)
    threading.Thread(target=look, name="second start", daemon=True).start()
    try:
        yield
    finally:
        over.set()
        with suppress(OSError):
            here.unlink(missing_ok=True)
