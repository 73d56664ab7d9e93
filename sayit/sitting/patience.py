"""Waiting for the record in a sitting: what cannot be written now is kept in memory and tried again."""

import time
from collections.abc import Callable
from typing import TypeVar

from sayit.sitting.events import Event, Notice
from sayit.store import Record
from sayit.store.checks import Busy
from sayit.store.opening import BUSY_SECONDS

__all__ = ["patiently"]

T = TypeVar("T")

_SOON_SECONDS = 0.5
"""Only after so long is the parent told."""

_PAUSE_SECONDS = 0.1
_WAITS = "Another program holds the record: close it. What was answered waits in memory, and the sitting goes on then."
_FREE = "The record is free again. Nothing was lost."
_GIVEN_UP = "The last answer could not be written; every one before it is kept."
_STAY = "What was answered is not in the record yet: close the other program. Ctrl-C once more gives it up."


def patiently(record: Record, report: Callable[[Event], None], do: Callable[[], T]) -> T:
    """Do something with the record, again and again while another program holds it; the parent is told.

    A first Ctrl-C meanwhile waits until it is done, a second gives it up.
    """
    record.wait_for_others(_SOON_SECONDS)
    try:
        return do()
    except Busy:
        report(Notice("record-busy", _WAITS))
        # The waiting is done here from now on, where Ctrl-C cannot come between writing and knowing that it is written.
        record.wait_for_others(0)
        return _again_and_again(report, do)
    finally:
        record.wait_for_others(BUSY_SECONDS)


def _again_and_again(report: Callable[[Event], None], do: Callable[[], T]) -> T:
    interrupted = False
    while True:
        try:
            time.sleep(_PAUSE_SECONDS)
        except KeyboardInterrupt:
            if interrupted:
                raise KeyboardInterrupt(_GIVEN_UP) from None
            interrupted = True
            report(Notice("record-busy", _STAY))
        try:
            done = do()
        except Busy:
            continue
        report(Notice("record-busy", _FREE))
        if interrupted:
            raise KeyboardInterrupt
        return done
