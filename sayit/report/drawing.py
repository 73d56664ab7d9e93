"""Shapes of SVG for pages and papers.

Each shape has its tone twice: as an attribute, which paper takes, and as a class,
through which a page turns it round on a dark screen. One hue throughout.
Lengths are in CSS pixels or the units of the picture's own frame. Quantities are drawn by ``sayit.practice.drawing``,
and get their tone here.
"""

from collections.abc import Sequence

from markupsafe import Markup

__all__ = ["TONES", "bar", "dot", "frame", "line", "svg", "text", "toned"]

TONES = ("#2b1733", "#512b5e", "#84589a", "#b795c6", "#e2d3e9", "#f8f3fa")
"""From ink to paper, one hue."""

_FONT = "Andika, 'Atkinson Hyperlegible', 'DejaVu Sans', sans-serif"


def svg(width: float, height: float, parts: Sequence[Markup], label: str, *, size: bool = False) -> Markup:
    """A picture of its parts in a frame; ``size`` gives it that size in CSS pixels too."""
    fixed = Markup(' width="{}" height="{}"').format(width, height) if size else ""
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w:g} {h:g}"{fixed} role="img" aria-label="{label}" font-family="{font}">{inside}</svg>'
    ).format(w=width, h=height, fixed=fixed, label=label, font=_FONT, inside=Markup("").join(parts))


def toned(quantity: str) -> Markup:
    """A picture of ``sayit.practice.drawing`` in one tone."""
    # Drawn by us, of numbers only.
    return Markup(quantity.replace("currentColor", TONES[1]))  # noqa: S704


def text(
    x: float, y: float, text: object, tone: int, size: float, anchor: str = "start", weight: str = "normal"
) -> Markup:
    """Words at a place; ``anchor`` as in SVG."""
    return Markup(
        '<text x="{:.1f}" y="{:.1f}" fill="{}" class="f{}" font-size="{}" text-anchor="{}" font-weight="{}">{}</text>'
    ).format(x, y, TONES[tone], tone, size, anchor, weight, text)


def line(x: float, y: float, x2: float, y2: float, tone: int, width: float, opacity: float = 1.0) -> Markup:
    """A straight line."""
    return Markup(
        '<line x1="{:.1f}" y1="{:.1f}" x2="{:.1f}" y2="{:.1f}" stroke="{}" class="s{}" stroke-width="{:.1f}" stroke-opacity="{}"/>'
    ).format(x, y, x2, y2, TONES[tone], tone, width, opacity)


def bar(x: float, y: float, width: float, height: float, tone: int) -> Markup:
    """A filled rectangle."""
    return Markup('<rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}" fill="{}" class="f{}"/>').format(
        x, y, width, height, TONES[tone], tone
    )


def frame(x: float, y: float, width: float, height: float, tone: int) -> Markup:
    """An empty frame with round corners."""
    return Markup(
        '<rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}" rx="4" fill="none" stroke="{}" class="s{}" stroke-width="1.4"/>'
    ).format(x, y, width, height, TONES[tone], tone)


def dot(x: float, y: float, radius: float, tone: int = 2, *, outline: bool = False) -> Markup:
    """A round dot, or its ``outline``."""
    if outline:
        return Markup('<circle cx="{}" cy="{}" r="{}" fill="none" stroke="{}" class="s2" stroke-width="1.2"/>').format(
            x, y, radius, TONES[2]
        )
    return Markup('<circle cx="{:.1f}" cy="{:.1f}" r="{:.1f}" fill="{}" class="f{}"/>').format(
        x, y, radius, TONES[tone], tone
    )
