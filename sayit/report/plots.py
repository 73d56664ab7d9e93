"""The report's pictures, as SVG that stands inside a page.

What differs also differs in size, fill or place, so a grey printer loses nothing.
"""

import math
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from statistics import median

from markupsafe import Markup

from sayit.practice.drawing import svg as quantity
from sayit.practice.layout import HIGHEST, frame_of, lay_out
from sayit.report import drawing
from sayit.report.drawing import TONES
from sayit.report.figures import Confusion, Day
from sayit.report.words import MONTHS

_RUN = 7
_GAP_DAYS = 10
_Across = Callable[[date], float]


def days(shown: Sequence[Day], since: date, until: date) -> Markup:
    """Response time over days, and under it the minutes practised, on one time line."""
    width, left, right = 720, 30, 8
    top, high, gap, low = 20, 96, 30, 44
    span = max((until - since).days, 1)
    step = (width - left - right) / (span + 1)

    def across(day: date) -> float:
        return left + step * ((day - since).days + 0.5)

    parts = [_months(since, until, across, top, top + high + gap + low)]
    most = (
        max([math.ceil(max(one.high for one in shown if one.high is not None)), 2])
        if any(one.high is not None for one in shown)
        else 4
    )
    most = min(most, 12)

    def up(seconds: float) -> float:
        return top + high * (1 - min(seconds, most) / most)

    for seconds in range(0, most + 1, 1 if most <= 5 else 2 if most <= 8 else 4):
        parts += [
            drawing.line(left, up(seconds), width - right, up(seconds), 4, 0.7),
            drawing.text(left - 5, up(seconds) + 3, seconds, 2, 11.5, "end"),
        ]
    parts.append(
        drawing.text(
            left,
            top - 8,
            "Seconds until a right answer starts. Dot: a usual answer of the day; bar: most of the others; line: how it goes on",
            1,
            11.5,
        )
    )
    thick = max(min(step * 0.55, 5.0), 1.0)
    for one in shown:
        if one.low is not None and one.high is not None:
            parts.append(drawing.line(across(one.day), up(one.high), across(one.day), up(one.low), 3, thick, 0.55))
    for one in shown:
        if one.seconds is not None:
            parts.append(drawing.dot(across(one.day), up(one.seconds), max(thick * 0.42, 1.1), 2))
    parts += [_course(run, across, up) for run in _runs(shown)]

    base = top + high + gap + low
    longest = max([one.minutes for one in shown] + [10.0])
    ceiling = math.ceil(longest / 5) * 5
    parts.append(drawing.text(left, base - low - 7, "Minutes practised", 1, 11.5))
    for minutes in (0, ceiling):
        y = base - low * minutes / ceiling
        parts += [
            drawing.line(left, y, width - right, y, 4, 0.7),
            drawing.text(left - 5, y + 3, minutes, 2, 11.5, "end"),
        ]
    wide = max(step * 0.72, 1.0)
    for one in shown:
        tall = low * one.minutes / ceiling
        parts.append(drawing.bar(across(one.day) - wide / 2, base - tall, wide, tall, 2))
    label = "Response time and minutes practised, day by day"
    return drawing.svg(width, base + 20, parts, label)


def as_things(shown: Sequence[Confusion]) -> list[tuple[str, Markup]]:
    """The two numbers that were most often taken for each other, by title, as things in one frame; none above 9,999."""
    pairs = [pair for one in shown for pair in one.pairs if max(pair.asked, pair.heard) <= HIGHEST]
    if not pairs:
        return []
    most = max(pairs, key=lambda pair: pair.times)
    frame = frame_of(most.asked, most.heard)
    laid = [lay_out(number, frame) for number in (most.asked, most.heard)]
    # Room that neither needs would make both small.
    top = min(thing.y for one in laid for part in one.parts for thing in part.things)
    return [
        (f"{title}: {one.number:,}", drawing.toned(quantity(one, digits=False, top=top)))
        for title, one in zip(("Asked", "Came"), laid, strict=True)
    ]


def confusion(shown: Confusion, title: str) -> Markup:
    """Asked against heard: a ribbon from each number asked to what came instead, the wider the more often."""
    asked = sorted({pair.asked for pair in shown.pairs})
    heard = sorted({pair.heard for pair in shown.pairs})
    rows = max(len(asked), len(heard))
    width, top, row = 172, 26, 19.0
    most = max(pair.times for pair in shown.pairs)

    def down(numbers: list[int], number: int) -> float:
        # The shorter column spreads over the height of the longer one.
        share = (rows - 1) / (len(numbers) - 1) if len(numbers) > 1 else 0
        start = 0 if len(numbers) > 1 else (rows - 1) / 2
        return top + row * (start + share * numbers.index(number))

    parts = [
        drawing.text(52, 11, "asked", 2, 11, "end"),
        drawing.text(120, 11, "came", 2, 11),
    ]
    for pair in sorted(shown.pairs, key=lambda one: one.times):
        thick = 1.2 + 6.3 * pair.times / most if most > 1 else 2.5
        tone = 2 if pair.times == most else 3
        y, y2 = down(asked, pair.asked), down(heard, pair.heard)
        parts.append(
            Markup(
                '<path d="M58 {y:.1f}C84 {y:.1f} 88 {z:.1f} 114 {z:.1f}" fill="none" stroke="{c}" class="s{t}" stroke-width="{w:.1f}"/>'
            ).format(y=y, z=y2, c=TONES[tone], t=tone, w=thick)
        )
    parts += [drawing.text(52, down(asked, number) + 4, f"{number:,}", 0, 12, "end", "bold") for number in asked]
    parts += [drawing.text(120, down(heard, number) + 4, f"{number:,}", 1, 12) for number in heard]
    told = "; ".join(f"{pair.asked} became {pair.heard}, {pair.times} times" for pair in shown.pairs)
    return drawing.svg(width, top + row * (rows - 1) + 10, parts, f"{title}: {told}")


def mark(status: str) -> Markup:
    """A small round sign that fills up: new is empty, shaky a third, known two thirds, fluent full."""
    share = {"new": 0.0, "shaky": 0.36, "known": 0.66, "fluent": 1.0}[status]
    inside = [drawing.dot(7, 7, 5.6, outline=True)]
    if share == 1.0:
        inside = [drawing.dot(7, 7, 6.2, 1)]
    elif share:
        level = 7 + 5.6 - 11.2 * share
        half = math.sqrt(5.6**2 - (level - 7) ** 2)
        large = int(share > 0.5)
        inside.append(
            Markup('<path d="M{a:.2f} {y:.2f}A5.6 5.6 0 {l} 0 {b:.2f} {y:.2f}Z" fill="{c}" class="f2"/>').format(
                a=7 - half, b=7 + half, y=level, l=large, c=TONES[2]
            )
        )
    return drawing.svg(14, 14, inside, status, size=True)


def _course(run: list[Day], across: _Across, up: Callable[[float], float]) -> Markup:
    smooth = []
    for index, one in enumerate(run):
        beside = run[max(0, index - _RUN // 2) : index + _RUN // 2 + 1]
        near = [other.seconds for other in beside if other.seconds is not None]
        smooth.append(f"{across(one.day):.1f},{up(median(near)):.1f}")
    return Markup(
        '<polyline points="{}" fill="none" stroke="{}" class="s0" stroke-width="1.8" stroke-linejoin="round" stroke-linecap="round"/>'
    ).format(" ".join(smooth), TONES[0])


def _runs(shown: Sequence[Day]) -> list[list[Day]]:
    runs: list[list[Day]] = []
    for one in shown:
        if one.seconds is None:
            continue
        if not runs or (one.day - runs[-1][-1].day).days > _GAP_DAYS:
            runs.append([])
        runs[-1].append(one)
    return [run for run in runs if len(run) > 2]


def _months(since: date, until: date, across: _Across, top: float, base: float) -> Markup:
    parts, day = [], since.replace(day=1)
    long = (until - since).days > 200
    while day <= until:
        start = max(day, since)
        following = (day + timedelta(days=32)).replace(day=1)
        shown = min(following, until + timedelta(days=1)) - start
        if start == day and day > since:
            parts.append(drawing.line(across(day), top, across(day), base + 12, 4, 0.7))
        if shown.days >= 12:
            name = MONTHS[day.month - 1][: 3 if long else None]
            parts.append(
                drawing.text(
                    across(start) + 4, base + 15, f"{name} {day.year}" if day.month == 1 and not long else name, 2, 11.5
                )
            )
        day = following
    return Markup("").join(parts)
