"""What may have to wait for the record or the disk, done one after the other beside the server."""

from __future__ import annotations

import queue
import threading
import traceback
from collections.abc import Callable

__all__ = ["Errands"]

_MOST = 32
_SLOW_SECONDS = 1.5


class Errands:
    """A thread that does what it is given, in order, so that the server answers meanwhile.

    ``slow`` is told True once something takes longer than a moment, and False when that is over.
    """

    def __init__(self, slow: Callable[[bool], None]) -> None:
        self._slow = slow
        self._waiting: queue.Queue[Callable[[], None]] = queue.Queue(_MOST)
        # A daemon, so that Ctrl-C does not wait for a record that another program holds.
        threading.Thread(target=self._run, name="errands", daemon=True).start()

    def put(self, do: Callable[[], None]) -> bool:
        """Have it done soon; False where too much waits already."""
        try:
            self._waiting.put_nowait(do)
        except queue.Full:
            return False
        return True

    def _run(self) -> None:
        while True:
            do = self._waiting.get()
            told = threading.Event()
            watch = threading.Timer(_SLOW_SECONDS, self._tell, (told,))
            watch.daemon = True
            watch.start()
            try:
                do()
            except Exception:  # noqa: BLE001  # the next errand must not suffer from this one
                traceback.print_exc()
            watch.cancel()
            if told.is_set():
                self._slow(False)

    def _tell(self, told: threading.Event) -> None:
        told.set()
        self._slow(True)
