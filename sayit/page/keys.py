"""Keys to the page: each opens it once, and reaches the browser on no command line."""

from __future__ import annotations

import hmac
import os
import secrets
import sys
import tempfile
from collections.abc import Callable
from html import escape
from pathlib import Path

__all__ = ["Keys", "hand_over"]

_HANDED = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<title>sayit</title>
<form method="post" action="{address}"><input type="hidden" name="key" value="{key}"><button>Open the desk</button></form>
<script>document.forms[0].submit();</script>
"""


class Keys:
    """The keys that have not been used."""

    def __init__(self) -> None:
        # Made in any thread, used in the server's.
        self._unused: dict[str, Callable[[], None]] = {}

    def make(self, used: Callable[[], None] = lambda: None) -> str:
        """A new key; ``used`` is told when it has been used up."""
        key = secrets.token_urlsafe(24)
        self._unused[key] = used
        return key

    def use(self, given: str) -> bool:
        """Use a key up; False for what is none, or none any more."""
        found = [key for key in tuple(self._unused) if hmac.compare_digest(key.encode(), given.encode())]
        for key in found:
            self._unused.pop(key)()
        return bool(found)


def hand_over(address: str, key: str) -> Path:
    """A file that only this user can read and that sends ``key`` to ``address`` once a browser opens it.

    What a browser is given on its command line can be read by everybody on the machine, and stays in its history.
    """
    number, name = tempfile.mkstemp(prefix="sayit-desk-", suffix=".html", dir=_folder())
    with os.fdopen(number, "w", encoding="utf-8") as file:
        file.write(_HANDED.format(address=escape(address), key=escape(key)))
    return Path(name)


def _folder() -> Path | None:
    # A browser that is packed as a snap sees neither the folder for temporary files nor hidden ones (from memory).
    home = Path.home()
    return home if sys.platform == "linux" and os.access(home, os.W_OK) else None
