"""Where the things lie when a quantity is shown for a moment."""

from dataclasses import dataclass

MOST = 20
"""The largest quantity that is shown as things."""

_GAP = 1.5
_LOW = 0.8
_NEXT_TEN = 3.0


@dataclass(frozen=True, slots=True)
class Dot:
    """One thing: centre ``x`` and ``y`` in widths of a dot from the top left; ``group`` counts the fives from 0."""

    x: float
    y: float
    group: int


def dots(quantity: int) -> tuple[Dot, ...]:
    """The same picture for the same quantity, always filled from the left.

    Five things stand in a zigzag, three high and two low; between fives there is
    a gap of one and a half dots, and ten fill a line. So fives and tens show by
    space alone, and every thing has one tone. That neighbours in space are seen as
    a group, and that this speeds saying how many, is measured in Starkey & McCandliss (2014),
    Journal of Experimental Child Psychology 126, 120-137, from first grade on;
    kindergarten children did not profit there yet.
    """
    if not 0 <= quantity <= MOST:
        raise ValueError(f"{quantity} things cannot be shown at a glance: 0 to {MOST}")
    placed = []
    for index in range(quantity):
        line, column = divmod(index, 10)
        group, within = divmod(column, 5)
        placed.append(
            Dot(
                x=round(column * 1.0 + group * _GAP, 3),
                y=round(line * _NEXT_TEN + (_LOW if within % 2 else 0.0), 3),
                group=index // 5,
            )
        )
    return tuple(placed)
