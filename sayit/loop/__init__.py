"""The spoken loop: one turn, turn after turn, and the terminal around it.

``take_turn`` and ``sit`` know no terminal: they report events and are given the
parent's decisions, so that any screen can drive them. The names below are
fetched on first use, because a turn needs numpy and much of the tool does not.
"""

from importlib import import_module
from typing import Any

_HOME = {
    "Choice": "parent",
    "Finished": "sitting",
    "Led": "planned",
    "NobodyThere": "parent",
    "Parent": "parent",
    "Parts": "turn",
    "Planned": "planned",
    "Searching": "planned",
    "Seat": "turn",
    "Share": "sitting",
    "Together": "planned",
    "Turn": "turn",
    "sit": "sitting",
    "take_turn": "turn",
}

__all__ = sorted(_HOME)


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
