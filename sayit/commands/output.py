"""What commands print."""

import json
from typing import Any


def print_json(entry: dict[str, Any]) -> None:
    """One object on one line, at once."""
    print(json.dumps(entry, ensure_ascii=False), flush=True)
