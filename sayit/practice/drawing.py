"""The number picture as SVG text: the one drawing of the things, for the page and for paper.

A one is a pebble; ten pebbles are tied into a pouch, ten pouches stand in a basket, ten baskets on a
cart. All is drawn in one tone (``currentColor``), by line and surface.
"""

from sayit.practice.layout import PLACES, SIZES, Part, Picture, ten_ones

__all__ = ["DIGITS", "pouch", "svg", "symbols"]

DIGITS = 5.2
"""Room below the line for the digits, in units; in the frame of twenty it is half of that."""

_LINE = 'fill="none" stroke="currentColor" stroke-linecap="round" stroke-linejoin="round"'
_MARGIN = 0.5


def _pebble(x: float, y: float, there: bool = True) -> str:
    tone = 'fill="currentColor"' if there else f'{_LINE} stroke-width=".1" stroke-dasharray=".2 .2"'
    return f'<ellipse cx="{x + 0.5:g}" cy="{y + 0.52:g}" rx=".42" ry=".39" {tone}/>'


def _ten(there: int = 10) -> str:
    bag = (
        "M1.5 .8C1.2 1.5 .2 1.9 .2 3.2V5Q.2 5.75 .95 5.75H3.05Q3.8 5.75 3.8 5V3.2C3.8 1.9 2.8 1.5 2.5 .8"
        "M1.5 .8L1.1 .15Q2 .45 2.9 .15L2.5 .8M1.3 .8H2.7"
    )
    return f'<path d="{bag}" {_LINE} stroke-width=".17"/>' + "".join(
        _pebble(x, y, index < there) for index, (x, y) in enumerate(ten_ones())
    )


def _rows(inside: str, scale: float, across: float, tops: tuple[float, float], left: float) -> str:
    """Ten of a thing, small, five in a line."""
    return "".join(
        f'<g transform="translate({left + column * across:.4g} {top:g}) scale({scale:g})">{inside}</g>'
        for top in reversed(tops)
        for column in range(5)
    )


_BASKET = "M.15 1.5H6.95M.35 1.5V5.2Q.35 5.95 1.1 5.95H6Q6.75 5.95 6.75 5.2V1.5M1 1.5C1 -.25 6.1 -.25 6.1 1.5"


def _hundred() -> str:
    basket = f'<path d="{_BASKET}" {_LINE} stroke-width=".17"/>'
    return basket + _rows(_ten(), 0.31, 1.24, (1.72, 3.92), 0.5)


def _thousand() -> str:
    # From so far off a pouch is a dot.
    pouches = "".join(
        f'<circle cx="{1.1 + 1.2 * (index % 5):g}" cy="{4.9 - 2 * (index // 5):g}" r=".5" fill="currentColor"/>'
        for index in range(10)
    )
    small = f'<path d="{_BASKET}" {_LINE} stroke-width=".4"/>{pouches}'
    cart = "M.2 .2V4.2H9.6V.2M9.6 3.6L10.45 2.4"
    wheels = "".join(f'<circle cx="{x}" cy="5.1" r=".8" {_LINE} stroke-width=".17"/>' for x in (2.3, 7.5))
    return f'<path d="{cart}" {_LINE} stroke-width=".17"/>{wheels}' + _rows(small, 0.25, 1.84, (0.35, 2.3), 0.45)


_DRAWN = {"ones": _pebble(0, 0), "tens": _ten(), "hundreds": _hundred(), "thousands": _thousand()}


def symbols() -> str:
    """An SVG that holds the things as symbols, each named for its place."""
    inside = "".join(
        f'<symbol id="{place}" viewBox="0 0 {SIZES[place][0]:g} {SIZES[place][1]:g}">{_DRAWN[place]}</symbol>'
        for place in PLACES
    )
    return f'<svg xmlns="http://www.w3.org/2000/svg">{inside}</svg>'


def svg(
    picture: Picture,
    *,
    label: str = "",
    digits: bool = True,
    standalone: bool = True,
    unit: float | None = None,
    middle: bool = False,
    top: float = 0.0,
) -> str:
    """The picture as one SVG element.

    Each part is a group with ``data-place``; a part without things has an empty dish. ``digits`` puts each part's
    digit below it. With ``standalone`` the things are drawn in place, else they refer to :func:`symbols`. ``unit``
    gives the element a size, in pixels for each unit. ``middle`` puts the parts that there are into the middle of
    the frame, for a picture that stands alone; above ``top`` nothing is shown. ``label`` is what it is called where it cannot be seen.
    """
    below = (2.9 if picture.frame <= 20 else DIGITS) if digits else 0.0
    wide, high = picture.width + 2 * _MARGIN, picture.height - top + below + 2 * _MARGIN
    left = (picture.parts[0].x if middle else 0.0) / 2 - _MARGIN
    size = f' width="{wide * unit:.1f}" height="{high * unit:.1f}"' if unit else ""
    inside = "".join(_part(part, picture, below, standalone) for part in picture.parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="quantity" viewBox="{left:.4g} {top - _MARGIN:.4g} {wide:.5g} {high:.5g}"{size} '
        f'data-number="{picture.number}" role="img" aria-label="{label or picture.number}">{inside}</svg>'
    )


def pouch(there: int, unit: float) -> str:
    """A pouch of ten in which only so many are ``there``, as an SVG element; the others are outlines."""
    wide, high = SIZES["tens"]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="quantity" viewBox="0 0 {wide:g} {high:g}" width="{wide * unit:.1f}" '
        f'height="{high * unit:.1f}" role="img" aria-label="{there} of ten">{_ten(there)}</svg>'
    )


def _part(part: Part, picture: Picture, below: float, standalone: bool) -> str:
    wide, high = SIZES[part.place]
    things = []
    for thing in part.things:
        if standalone:
            things.append(f'<g transform="translate({thing.x:g} {thing.y:g})">{_DRAWN[part.place]}</g>')
        else:
            at = f'x="{thing.x:g}" y="{thing.y:g}" width="{wide:g}" height="{high:g}"'
            things.append(f'<use href="#{part.place}" {at}/>')
    line, middle = picture.height, part.x + part.width / 2
    half = max(part.width / 2, 1.5)
    ground = (
        f'<path class="ground" d="M{middle - half:.4g} {line + 0.3:.4g}h{2 * half:.4g}" {_LINE} stroke-width=".14"/>'
    )
    if not part.things:
        dish = min(half, 3.0)
        ground += (
            f'<path class="dish" d="M{middle - dish:.4g} {line - 1.6:.4g}Q{middle - dish:.4g} {line + 0.1:.4g} {middle:.4g} {line + 0.1:.4g}'
            f'T{middle + dish:.4g} {line - 1.6:.4g}" {_LINE} stroke-width=".14" stroke-dasharray=".35 .4"/>'
        )
    digit = ""
    if below:
        tall = below - 0.2
        digit = (
            f'<text class="digit" x="{middle:.4g}" y="{line + 0.5 + tall * 0.8:.4g}" font-size="{tall:.3g}" '
            f'text-anchor="middle" fill="currentColor">{part.digit}</text>'
        )
    return f'<g class="part" data-place="{part.place}">{ground}<g class="things">{"".join(things)}</g>{digit}</g>'
