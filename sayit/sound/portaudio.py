"""Loading PortAudio without being held up by what a killed program left behind.

PortAudio looks for JACK, and JACK's library locks a small database in shared
memory.  A program that is killed in that moment leaves the lock, and from then
on every program that loads PortAudio waits for ever.
"""

import os
import shutil
from pathlib import Path
from types import ModuleType

__all__ = ["load_sounddevice"]

_SHARED = Path("/dev/shm")  # noqa: S108  # where Linux keeps shared memory; only JACK's own file is touched


def load_sounddevice() -> ModuleType:
    """Import ``sounddevice``, which initialises PortAudio. OSError where PortAudio is missing."""
    clear_stale_lock()
    os.environ.setdefault("JACK_NO_START_SERVER", "1")
    import sounddevice

    library: ModuleType = sounddevice
    return library


def clear_stale_lock(shared: Path = _SHARED) -> None:
    """Delete JACK's client database where no JACK server has run that could need it."""
    if hasattr(os, "getuid") and not (shared / "jack-shm-registry").exists():
        shutil.rmtree(shared / f"jack_db-{os.getuid()}", ignore_errors=True)
