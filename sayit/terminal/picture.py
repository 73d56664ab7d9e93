"""Digits and things in large plain text, for a child before a terminal."""

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
_DOT = ("▟██▙", "▜██▛")
_WIDE, _HIGH = 5, 2
_PLAIN = str.maketrans("█▟▙▜▛", "#####")


def digits(number: str) -> list[str]:
    """The rows of a number in digits five rows high, each sign two columns for one; "" gives empty rows."""
    rows = []
    for row in range(_ROWS):
        signs = ["".join(sign * 2 for sign in _DIGITS[int(digit)][row]) for digit in number]
        rows.append("  ".join(signs))
    return rows


def things(shown: Shown) -> list[str]:
    """The rows of the things of a ``Shown``, where the practice lays them: grouped by five by space."""
    found = shown.dots()
    across = max((round(dot.x * _WIDE) for dot in found), default=0) + len(_DOT[0])
    down = max((round(dot.y * _HIGH) for dot in found), default=0) + len(_DOT)
    rows = [[" "] * across for _ in range(down)]
    for dot in found:
        left, top = round(dot.x * _WIDE), round(dot.y * _HIGH)
        for row, signs in enumerate(_DOT):
            rows[top + row][left : left + len(signs)] = signs
    return ["".join(row).rstrip() for row in rows]


def picture(shown: Shown | None) -> list[str]:
    """The rows of what is shown; two numbers stand side by side with the keys 1 and 2 under them."""
    if shown is None:
        return []
    if shown.kind == "dots":
        return things(shown)
    drawn = [digits(str(number)) for number in shown.numbers]
    rows = [_APART.join(parts) for parts in zip(*drawn, strict=False)]
    if len(drawn) > 1:
        rows += ["", _APART.join(str(place).center(len(one[0])) for place, one in enumerate(drawn, 1)).rstrip()]
    return rows


def plain(rows: list[str]) -> list[str]:
    """The same rows for a terminal that has no block signs."""
    return [row.translate(_PLAIN) for row in rows]
