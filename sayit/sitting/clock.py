"""The time of a sitting: it begins at the time of day and goes on evenly, whatever is done to that clock meanwhile."""

import sys
import time
from collections.abc import Callable
from datetime import datetime, timedelta

__all__ = ["elapsed", "steady"]


def elapsed() -> float:
    """Seconds of a clock that nobody sets and that goes on while the machine sleeps; only differences tell anything."""
    if sys.platform == "linux":
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    if sys.platform == "darwin":
        # There ``time.monotonic`` stands still in sleep, and this one does not (manual page clock_gettime(3), from memory).
        return time.clock_gettime(time.CLOCK_MONOTONIC)
    return time.monotonic()


def steady(began: datetime, seconds: Callable[[], float]) -> Callable[[], datetime]:
    """The time since ``began``, which is now, by a clock that counts ``seconds``."""
    start = seconds()
    return lambda: began + timedelta(seconds=seconds() - start)
