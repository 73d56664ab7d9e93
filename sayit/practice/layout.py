"""The number picture: where each thing of a quantity stands, the same for the page, the paper and the terminal.

All lengths are in units of the distance between two ones, and hold for every number of a frame: a
one is as large in 1 as in 20. Ten ones go into a pouch, ten pouches into a basket, ten
baskets onto a cart; five of a kind stand close, three low and two above, and the others of the ten apart.
So fives and tens show by space and line alone, in one tone. That neighbours in space are seen as
a group, and that this speeds saying how many, is measured in Starkey & McCandliss (2014),
Journal of Experimental Child Psychology 126, 120-137, from first grade on;
kindergarten children did not profit there yet.
"""

from dataclasses import dataclass

__all__ = [
    "FRAMES",
    "HIGHEST",
    "MOST",
    "PLACES",
    "SIZES",
    "Part",
    "Picture",
    "Thing",
    "frame_of",
    "lay_out",
    "ten_ones",
]

MOST = 20
"""The largest quantity that is shown for a moment."""

PLACES = ("ones", "tens", "hundreds", "thousands")

FRAMES = (MOST, 99, 999, 9_999)
"""The largest number of each frame. Within a frame nothing changes its size."""

HIGHEST = FRAMES[-1]

SIZES = {"ones": (1.0, 1.0), "tens": (4.0, 5.9), "hundreds": (7.1, 6.1), "thousands": (10.6, 6.0)}
"""Width and height of one thing of each place."""

_APART = {"ones": 0.0, "tens": 0.3, "hundreds": 0.4, "thousands": 0.4}
_NESTLE = 0.87
_NEXT_FIVE = 0.75
_NEXT_FIVE_BESIDE = 1.1
_NEXT_PLACE = 2.2


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing: its top left corner, and the five that it belongs to, counted from 0."""

    x: float
    y: float
    five: int


@dataclass(frozen=True, slots=True)
class Part:
    """What stands at one ``place``: so many things as its ``digit`` says, between ``x`` and ``x + width``."""

    place: str
    digit: int
    x: float
    width: float
    things: tuple[Thing, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A number laid out: its parts, highest place first. Things stand on the line at ``height``; digits come below it."""

    number: int
    frame: int
    width: float
    height: float
    parts: tuple[Part, ...]


def frame_of(*numbers: int) -> int:
    """The smallest frame that holds all these numbers; ValueError above 9,999 and below 0."""
    if not numbers or min(numbers) < 0 or max(numbers) > HIGHEST:
        raise ValueError(f"{numbers} cannot be shown as things: 0 to {HIGHEST:,}")
    return next(frame for frame in FRAMES if frame >= max(numbers))


def lay_out(number: int, frame: int | None = None) -> Picture:
    """The same picture for the same number in the same frame.

    A place that the number has and does not fill is a part without things; a place
    before its first digit is no part, and its room stays free. ValueError for a number that the frame does not hold.
    """
    frame = frame or frame_of(number)
    if frame not in FRAMES or not 0 <= number <= frame:
        raise ValueError(f"{number} does not go into a frame of {frame}")
    places = PLACES[: len(str(frame))]
    columns = {place: _column(place, frame) for place in places}
    height = max(high for _, high, _ in columns.values())
    left = 0.0
    parts = []
    digits = str(number).zfill(len(places))
    for place, sign in zip(reversed(places), digits, strict=True):
        width, _, spots = columns[place]
        things = tuple(
            Thing(round(left + x, 3), round(height - up - SIZES[place][1], 3), index // 5)
            for index, (x, up) in enumerate(spots[: int(sign)])
        )
        if len(str(number)) > PLACES.index(place):
            parts.append(Part(place, int(sign), round(left, 3), round(width, 3), things))
        left += width + _NEXT_PLACE
    return Picture(number, frame, round(left - _NEXT_PLACE, 3), round(height, 3), tuple(parts))


def ten_ones() -> tuple[tuple[float, float], ...]:
    """Where the ten ones lie in a pouch: the corners of each, from the pouch's top left."""
    return tuple(
        (round(x + 0.5, 3), round(SIZES["tens"][1] - 0.45 - up - 1.0, 3)) for x, up in _spots("ones", 10, False)
    )


def _column(place: str, frame: int) -> tuple[float, float, list[tuple[float, float]]]:
    """Width and height of a place's room, and where its things stand: left edge, and height above the line."""
    wide, high = SIZES[place]
    if frame == MOST and place == "tens":
        spots = [(index * (wide + _APART[place]), 0.0) for index in range(2)]
    else:
        spots = _spots(place, 9, beside=place != "ones" and frame <= 99)
    return max(x for x, _ in spots) + wide, max(up for _, up in spots) + high, spots


def _spots(place: str, count: int, beside: bool) -> list[tuple[float, float]]:
    """Five close together, three low and two above; the next five ``beside`` them or above them."""
    wide, high = (size + _APART[place] for size in SIZES[place])
    rise = _NESTLE if place == "ones" else high
    spots = []
    for index in range(count):
        five, within = divmod(index, 5)
        across = 3 * wide + _NEXT_FIVE_BESIDE if beside else 0.0
        above = 0.0 if beside else rise + high + _NEXT_FIVE
        spots.append((within * wide / 2 + five * across, (rise if within % 2 else 0.0) + five * above))
    return spots
