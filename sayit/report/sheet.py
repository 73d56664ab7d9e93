"""A page for practice away from the screen: tasks for the child, answers on a page of their own.

A child who does not read yet needs somebody to read out what to do; the page
itself shows things, digits and empty places only.
"""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import datetime
from functools import partial
from random import Random

from markupsafe import Markup

from sayit.errors import SayitError
from sayit.numbers import Form, name
from sayit.practice.activities import ACTIVITIES, Activity, number_for
from sayit.practice.activities.activity import differs
from sayit.practice.drawing import pouch, svg
from sayit.practice.layout import lay_out
from sayit.practice.path import Path, Step
from sayit.report import drawing
from sayit.report.page import Paper
from sayit.report.words import day_in_words

_UNIT = 19.0
"""From one thing to the next, in CSS pixels."""

_DIGIT = 30.0
"""How large a digit is printed, in CSS pixels."""
_HIGH = 42.0
"""Room to write is so high."""

_Namer = Callable[..., str]
_Tasks = tuple[str, bool, list[tuple[Markup, str]]]
"""What to do, whether its tasks are wide, and what each shows with its answer."""


@dataclass(frozen=True, slots=True)
class Task:
    """One task: its ``number``ing, what the child sees (``shown``), and the answer for whoever helps."""

    number: int
    shown: Markup
    answer: str


@dataclass(frozen=True, slots=True)
class Part:
    """A row of tasks of one kind: what to ``do`` is read out."""

    do: str
    tasks: tuple[Task, ...]
    wide: bool = False


def parts(path: Path, slug: str, random: Random, *, use_and: bool = False) -> tuple[Part, ...]:
    """The sheet's parts for a step; ``SayitError`` for an unknown one. The same ``random`` gives the same sheet.

    With ``use_and`` names are printed as "three hundred and two".
    """
    step = path[slug]
    made: list[Part] = []
    count = 0
    for row, (build, number) in _ROWS.items():
        activity = next((ACTIVITIES[ask] for ask in step.asks if ACTIVITIES[ask].sheet == row), None)
        about = _numbers(step, activity, number, random) if activity else []
        if len(about) < 2:
            continue
        do, wide, tasks = build(about, random, partial(name, use_and=use_and))
        made.append(
            Part(do, tuple(Task(count + place, shown, answer) for place, (shown, answer) in enumerate(tasks, 1)), wide)
        )
        count += len(tasks)
    return tuple(made)


def sheet_paper(path: Path, slug: str, *, seed: int, now: datetime, child: str = "", use_and: bool = False) -> Paper:
    """The sheet: tasks on the first sheet of A4, answers on the second."""
    step = path[slug]
    return Paper(
        "sheet",
        {
            "child": child,
            "title": step.title,
            "made": day_in_words(now),
            "seed": str(seed),
            "parts": [asdict(part) for part in parts(path, slug, Random(f"{slug} {seed}"), use_and=use_and)],
            "lay_out": step.lay_out,
            "say": step.say,
        },
        sheets=2,
    )


def seed_of(now: datetime) -> int:
    """The day's own number, so that tomorrow's sheet is another one."""
    return int(f"{now:%Y%m%d}")


def _numbers(step: Step, activity: Activity, count: int, random: Random) -> list[int]:
    ask = activity.called(activity.variants(step)[0])
    chosen: list[int] = []
    for _ in range(count * 3):
        found = number_for(step, ask, random, tuple(chosen))
        if found is not None and found not in chosen:
            chosen.append(found)
        if len(chosen) == count:
            break
    return chosen


def _dots(about: list[int], _random: Random, _named: _Namer) -> _Tasks:
    tasks = []
    for number in about:
        five = f"five and {number - 5}" if 5 < number < 10 else "two fives" if number == 10 else ""
        tasks.append((_things(number), f"{number}{f' ({five})' if five else ''}"))
    return "How many? Cover them with a hand, lift it for a moment, cover them again.", True, tasks


def _other_way(about: list[int], _random: Random, named: _Namer) -> _Tasks:
    tasks = [(_digits(number), f"{number:,}: {named(number)}; {named(number, 'explicit')}") for number in about]
    return "Point at a number. Say it twice: its everyday name and its tens name.", False, tasks


def _read(about: list[int], _random: Random, named: _Namer) -> _Tasks:
    return "Point at a number. Say it.", False, [(_digits(number), f"{number:,}: {named(number)}") for number in about]


def _write(about: list[int], random: Random, named: _Namer) -> _Tasks:
    places = max(len(str(number)) for number in about)
    tasks: list[tuple[Markup, str]] = []
    for number in about:
        form: Form = "explicit" if differs(number) and random.random() < 0.5 else "plain"
        tasks.append((_empty(places), f"say “{named(number, form)}”: {number:,}"))
    return "Listen, then write the number. (What to say is on the answer page.)", False, tasks


def _to_ten(about: list[int], _random: Random, _named: _Namer) -> _Tasks:
    return (
        "How many more make ten?",
        True,
        [(drawing.toned(pouch(number, _UNIT)), f"{number} and {10 - number}") for number in about],
    )


def _next_door(about: list[int], _random: Random, _named: _Namer) -> _Tasks:
    tasks = [(_between(number), f"{number - 1:,} – {number:,} – {number + 1:,}") for number in about]
    return "One less and one more: say them, then write them.", max(about) > 8, tasks


def _which_more(about: list[int], random: Random, _named: _Namer) -> _Tasks:
    tasks = []
    for number in about:
        digits = str(number)
        near = {
            int(digits[::-1]),
            int(digits.replace("0", "")),
            number + 1,
            number + 10 if number > 10 else number + 2,
        } - {number, 0}
        other = random.choice(sorted(near))
        pair = [number, other]
        random.shuffle(pair)
        tasks.append((_digits(*pair), f"{max(pair):,} is more than {min(pair):,}"))
    return "Which is more? Put a ring round it.", False, tasks


_ROWS: dict[str, tuple[Callable[[list[int], Random, _Namer], _Tasks], int]] = {
    "things": (_dots, 4),
    "to-ten": (_to_ten, 4),
    "names": (_other_way, 8),
    "read": (_read, 4),
    "write": (_write, 8),
    "neighbours": (_next_door, 4),
    "more": (_which_more, 4),
}
"""The rows in their order: each builds tasks for one or more activities (``Activity.sheet``), so many at most."""


def _digits(*numbers: int) -> Markup:
    """Numbers as they are printed, well apart."""
    shown = [f"{number:,}" for number in numbers]
    # A digit of these letters is 0.6 of their size wide; twice a digit's room between two numbers.
    wide = [_DIGIT * 0.66 * len(one) for one in shown]
    starts = [sum(wide[:place]) + _DIGIT * 1.3 * place for place in range(len(wide))]
    parts = [drawing.text(start, _DIGIT, one, 0, _DIGIT) for start, one in zip(starts, shown, strict=True)]
    return drawing.svg(starts[-1] + wide[-1], _DIGIT * 1.3, parts, " and ".join(shown), size=True)


def _empty(places: int) -> Markup:
    """Room to write a number of so many ``places``; not a box for each, which would ask for "06"."""
    return drawing.svg(_room(places) + 4, _HIGH + 4, [_frame(2, places)], "room to write", size=True)


def _between(number: int) -> Markup:
    """A number with room to write on either side."""
    shown, places = f"{number:,}", len(str(number + 1))
    room, wide = _room(places), _DIGIT * 0.66 * len(f"{number:,}")
    parts = [
        _frame(2, places),
        drawing.text(room + 12 + wide / 2, _HIGH - 10, shown, 0, _DIGIT, "middle"),
        _frame(room + wide + 22, places),
    ]
    return drawing.svg(2 * room + wide + 24, _HIGH + 4, parts, shown, size=True)


def _room(places: int) -> float:
    return 26.0 * places + 14


def _frame(x: float, places: int) -> Markup:
    return drawing.frame(x, 2, _room(places), _HIGH, 2)


def _things(number: int) -> Markup:
    return drawing.toned(svg(lay_out(number), label=f"{number} things", digits=False, unit=_UNIT))


def require_step(path: Path, slug: str) -> str:
    """The step's name back, or ``SayitError`` that lists those there are."""
    if slug not in path.slugs:
        raise SayitError(f"There is no step {slug!r}: choose one of {', '.join(path.slugs)}.")
    return slug
