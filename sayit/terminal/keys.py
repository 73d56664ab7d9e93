"""One key at a time from the terminal, without waiting for Enter.

Python's standard library knows the terminals of both families of systems
(``termios``, ``msvcrt``); this is the little that both have in common.
"""

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Protocol

ENTER = "\n"
BACK = "\b"
"""The key that takes back what was typed last."""


class Keys(Protocol):
    """Where keys come from."""

    def wait(self, seconds: float | None = None) -> str | None:
        """The next key as a lower-case letter, a digit, " ", ``ENTER`` or ``BACK``, or None after ``seconds`` (None: wait on).

        Raises EOFError when the terminal has gone.
        """
        ...


@contextmanager
def open_keys() -> Iterator[Keys | None]:
    """Keys of the terminal that the program was started in; None where there is none.

    The terminal is as it was when this ends. Ctrl-C still interrupts.
    """
    if not sys.stdin or not sys.stdin.isatty():
        yield None
    elif sys.platform == "win32":
        yield _WindowsKeys()
    else:
        import termios
        import tty

        descriptor = sys.stdin.fileno()
        before = termios.tcgetattr(descriptor)
        try:
            tty.setcbreak(descriptor, termios.TCSANOW)
            yield _PosixKeys(descriptor)
        finally:
            with suppress(termios.error):
                termios.tcsetattr(descriptor, termios.TCSANOW, before)


class _PosixKeys:
    def __init__(self, descriptor: int) -> None:
        self._descriptor = descriptor

    def wait(self, seconds: float | None = None) -> str | None:
        import select

        until = None if seconds is None else time.monotonic() + seconds
        while True:
            left = None if until is None else max(0.0, until - time.monotonic())
            if not select.select([self._descriptor], [], [], left)[0]:
                return None
            try:
                read = os.read(self._descriptor, 1)
            except OSError as error:
                raise EOFError("the terminal has gone") from error
            if not read:
                raise EOFError("the terminal has gone")
            if read == b"\x1b":
                self._pass_over()
            elif read in b"\r\n":
                return ENTER
            elif read in b"\x7f\b":
                return BACK
            elif read == b" " or read.isalnum():
                return read.decode("ascii").lower()

    def _pass_over(self) -> None:
        # An arrow or function key sends several bytes at once, letters among them.
        import select

        while select.select([self._descriptor], [], [], 0.02)[0]:
            if not os.read(self._descriptor, 32):
                return


if sys.platform == "win32":

    class _WindowsKeys:
        def wait(self, seconds: float | None = None) -> str | None:
            import msvcrt

            until = None if seconds is None else time.monotonic() + seconds
            while True:
                while msvcrt.kbhit():
                    key = msvcrt.getwch()
                    if key in "\x00\xe0":
                        msvcrt.getwch()
                    elif key == "\x03":
                        raise KeyboardInterrupt
                    elif key in "\r\n":
                        return ENTER
                    elif key == "\b":
                        return BACK
                    elif key == " " or (key.isascii() and key.isalnum()):
                        return str(key.lower())
                if until is not None and time.monotonic() >= until:
                    return None
                time.sleep(0.02)
