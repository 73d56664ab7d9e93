"""A program kept at work in a process of its own, so that its crash is not ours."""

from __future__ import annotations

import atexit
import json
import os
import queue
import subprocess
import threading
from collections.abc import Sequence
from typing import IO, Any

__all__ = ["Apart", "Lost"]


class Lost(Exception):  # noqa: N818
    """The program crashed, hung or said that it could not."""


class Apart:
    """Asks ``command`` one thing at a time, JSON lines in and out.

    Any thread may ask; the others wait.  The program is started by the first
    question, and anew by the next one after it was lost.
    """

    def __init__(self, command: Sequence[str], patience: float = 20.0) -> None:
        """``patience`` is how long (seconds) one answer may take."""
        self.command = tuple(command)
        self._patience = patience
        self._turn = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._replies: queue.SimpleQueue[bytes] = queue.SimpleQueue()

    def ask(self, **request: Any) -> dict[str, Any]:
        """Its reply. Raises Lost where there is none."""
        with self._turn:
            try:
                return self._reply(request)
            except (OSError, ValueError, queue.Empty) as error:
                self._end()
                raise Lost(f"no answer ({type(error).__name__})") from error

    def close(self) -> None:
        """End the program; the next question starts it anew."""
        with self._turn:
            self._end()

    def _reply(self, request: dict[str, Any]) -> dict[str, Any]:
        into = self._started().stdin
        if into is not None:
            into.write(json.dumps(request).encode() + b"\n")
            into.flush()
        reply = json.loads(self._replies.get(timeout=self._patience))
        if "error" in reply:
            raise Lost(str(reply["error"]))
        return dict(reply)

    def _started(self) -> subprocess.Popen[bytes]:
        if self._process is not None and self._process.poll() is not None:
            self._end()
        if self._process is None:
            self._process = subprocess.Popen(
                self.command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0) if os.name == "nt" else 0,
            )
            atexit.register(self._end)
            self._replies = queue.SimpleQueue()
            reader = threading.Thread(
                target=_read, args=(self._process.stdout, self._replies), name="read voice", daemon=True
            )
            reader.start()
        return self._process

    def _end(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        atexit.unregister(self._end)
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            try:
                if pipe is not None:
                    pipe.close()
            except OSError:
                # A line that was still to be written: nobody is there to read it.
                continue


def _read(pipe: IO[bytes], replies: queue.SimpleQueue[bytes]) -> None:
    try:
        for line in pipe:
            replies.put(line)
    except ValueError:
        # Closed while we read: the program was ended.
        return
    # No reply is an empty line, so that who waits knows at once.
    replies.put(b"")
