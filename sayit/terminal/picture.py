"""Digits and things in large plain text, for a child before a terminal."""

from math import floor

from sayit.practice.layout import MOST, SIZES, Picture, ten_ones
from sayit.practice.question import Shown

_DIGITS = (
    ("███", "█ █", "█ █", "█ █", "███"),
    (" █ ", "██ ", " █ ", " █ ", "███"),
    ("███", "  █", "███", "█  ", "███"),
    ("███", "  █", "███", "  █", "███"),
    ("█ █", "█ █", "███", "  █", "  █"),
    ("███", "█  ", "███", "  █", "███"),
    ("███", "█  ", "███", "█ █", "███"),
    ("███", "  █", "  █", "  █", "  █"),
    ("███", "█ █", "███", "█ █", "███"),
    ("███", "█ █", "███", "  █", "███"),
)
_ROWS = 5
_APART = "      "
_ONE, _SIDE, _EDGE = "██", "▏", "▁"
_WIDE, _HIGH = 3.0, 1.5
_PLAIN = str.maketrans("█▏▁", "#|-")


def digits(number: str) -> list[str]:
    """The rows of a number in digits five rows high, each sign two columns for one; "" gives empty rows."""
    rows = []
    for row in range(_ROWS):
        signs = ["".join(sign * 2 for sign in _DIGITS[int(digit)][row]) for digit in number]
        rows.append("  ".join(signs))
    return rows


def things(laid: Picture) -> list[str]:
    """The rows of a number's things, where the practice lays them: ten are framed, fives stand apart by space."""
    signs: dict[tuple[int, int], str] = {}
    for part in laid.parts:
        wide, high = SIZES[part.place]
        for thing in part.things:
            left, top = floor(thing.x * _WIDE), floor(thing.y * _HIGH)
            if part.place == "ones":
                _put(signs, left, top, _ONE)
                continue
            right, bottom = left + round(wide * _WIDE) - 1, top + round(high * _HIGH) - 1
            for row in range(top, bottom + 1):
                _put(signs, left, row, _SIDE)
                _put(signs, right, row, _SIDE)
            for row in (top, bottom):
                _put(signs, left, row, _EDGE * (right - left + 1))
            for x, y in ten_ones():
                _put(signs, left + 1 + floor(x * _WIDE), top + floor(y * _HIGH), _ONE)
    if not signs:
        return []
    columns, rows = zip(*signs, strict=True)
    across = range(min(columns), max(columns) + 1)
    return ["".join(signs.get((column, row), " ") for column in across).rstrip() for row in range(max(rows) + 1)]


def _put(signs: dict[tuple[int, int], str], left: int, row: int, text: str) -> None:
    for ahead, sign in enumerate(text):
        signs[left + ahead, row] = sign


def picture(shown: Shown | None) -> list[str]:
    """The rows of what is shown; two numbers stand side by side with the keys 1 and 2 under them."""
    if shown is None:
        return []
    if shown.kind == "tray":
        return []
    # More would not go on a screen of text.
    if max(shown.numbers) <= MOST and (pictures := shown.pictures()):
        drawn = [things(laid) for laid in pictures]
        # All stand on one line.
        tallest = max(map(len, drawn))
        drawn = [[""] * (tallest - len(rows)) + rows for rows in drawn]
        drawn = [[row.ljust(max(map(len, rows))) for row in rows] for rows in drawn]
    else:
        drawn = [digits(str(number)) for number in shown.numbers]
    rows = [_APART.join(parts).rstrip() for parts in zip(*drawn, strict=True)]
    if len(drawn) > 1:
        rows += ["", _APART.join(str(place).center(len(one[0])) for place, one in enumerate(drawn, 1)).rstrip()]
    return rows


def plain(rows: list[str]) -> list[str]:
    """The same rows for a terminal that has no block signs."""
    return [row.translate(_PLAIN) for row in rows]
