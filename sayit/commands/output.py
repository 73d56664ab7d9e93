"""What commands print."""

import json
import re
import sys
from shutil import get_terminal_size
from textwrap import fill
from typing import Any

_UNSEEN = re.compile("[\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")


def print_json(entry: dict[str, Any]) -> None:
    """One object on one line, at once."""
    told = json.dumps(entry, ensure_ascii=False)
    # JSON writes out some signs that paint on a terminal; these are left, and half signs that cannot be written at all.
    print(_UNSEEN.sub(lambda found: f"\\u{ord(found[0]):04x}", told), flush=True)


def tell(line: str, indent: str = "", hanging: str | None = None) -> None:
    """A line of prose at once, as wide as the terminal (80 columns where there is none).

    ``indent`` stands before the first row, ``hanging`` (the same if left out) before the others.
    """
    rows = fill(
        line,
        width=get_terminal_size().columns,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_long_words=False,
        break_on_hyphens=False,
    )
    print(rows, flush=True)


def wait(line: str) -> None:
    """What is being done, where somebody looks on and waits."""
    if sys.stderr.isatty():
        print(line, file=sys.stderr, flush=True)
