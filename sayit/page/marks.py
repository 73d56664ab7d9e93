"""The picture by which a child who cannot read knows that it is its turn.

Each child of the household has one, in the order in which they came into the record. They are
line drawings in one hue, told apart by their shape; none stands for a number.
"""

from collections.abc import Sequence

__all__ = ["MARKS", "marks_of"]

MARKS = ("leaf", "moon", "boat", "drop", "kite", "cloud", "cup", "shell")


def marks_of(household: Sequence[str], sitting: Sequence[str] = ()) -> dict[str, str]:
    """The mark of each child by name; those of a ``sitting`` differ even in a household with more children than marks."""
    own = {name: MARKS[place % len(MARKS)] for place, name in enumerate(household)}
    taken: dict[str, str] = {}
    for name in sitting:
        free = [mark for mark in MARKS if mark not in taken.values()]
        taken[name] = own[name] if own.get(name) in free else free[0]
    return taken or own
