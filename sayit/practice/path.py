"""The path of steps, read from ``path.toml``."""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from sayit.errors import SayitError
from sayit.numbers import HIGHEST
from sayit.practice.pools import Pool


@dataclass(frozen=True, slots=True)
class Standard:
    """A published standard that a step serves: whose (``of``) and its ``code``."""

    of: str
    code: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step. ``seconds`` (prompt end to voice) and ``accuracy`` (0 to 1) are what counts as fluent.

    ``asks`` are the ways of asking, ``needs`` those that decide about mastery;
    ``aim``, ``lay_out`` and ``say`` are plain sentences for the parent.
    """

    slug: str
    title: str
    aim: str
    numbers: Pool
    forms: tuple[str, ...]
    asks: tuple[str, ...]
    needs: tuple[str, ...]
    accuracy: float
    seconds: float
    after: tuple[str, ...]
    standards: tuple[Standard, ...]
    lay_out: str
    say: str


@dataclass(frozen=True, slots=True)
class Path:
    """All steps in order, easiest first, for numbers up to ``limit``."""

    steps: tuple[Step, ...]
    limit: int

    def __iter__(self) -> Iterator[Step]:
        return iter(self.steps)

    def __len__(self) -> int:
        return len(self.steps)

    def __getitem__(self, slug: str) -> Step:
        return self.steps[self.index(slug)]

    @property
    def slugs(self) -> tuple[str, ...]:
        """The names of all steps, in order."""
        return tuple(step.slug for step in self.steps)

    def index(self, slug: str) -> int:
        """Place of a step on the path, from 0; ``SayitError`` for an unknown name."""
        for place, step in enumerate(self.steps):
            # Asked thousands of times a sitting: comparing whole steps took half of its time.
            if step.slug == slug:
                return place
        raise SayitError(f"There is no step {slug!r}: choose one of {', '.join(self.slugs)}.")

    def home(self, number: int) -> Step:
        """The first step at which ``number`` is asked; the last one for a number past it."""
        for step in self.steps:
            if number in step.numbers:
                return step
        return self.steps[-1]


@cache
def load_path(limit: int | None = None) -> Path:
    """The path that comes with the program, for numbers up to ``limit`` (default: the path's own).

    Steps without a number at or below ``limit`` are left out. ``SayitError`` for
    a limit below 10 or above ``HIGHEST``.
    """
    text = resources.files("sayit.practice").joinpath("path.toml").read_text(encoding="utf-8")
    return parse_path(text, limit)


def parse_path(text: str, limit: int | None = None) -> Path:
    """A path from the text of a TOML file; ``SayitError`` names the step at fault."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SayitError(f"The path of steps is no valid TOML ({error}): mend that line.") from error
    limit = data.get("limit") if limit is None else limit
    if not isinstance(limit, int) or not 10 <= limit <= HIGHEST:
        raise SayitError(f"{limit} is no limit for the path: choose one from 10 to {HIGHEST}.")
    steps: list[Step] = []
    for entry in data.get("step", ()):
        step = _step(entry, limit)
        known = {earlier["slug"] for earlier in data["step"][: data["step"].index(entry)]}
        if step.slug in known or not known.issuperset(step.after):
            raise SayitError(f"Step {step.slug!r}: its name must be new and its `after` come earlier.")
        if len(step.numbers):
            steps.append(step)
    if not steps:
        raise SayitError("The path of steps is empty: give it at least one [[step]].")
    return Path(tuple(steps), limit)


def _step(entry: dict[str, Any], limit: int) -> Step:
    slug = entry.get("slug", "without a name")
    try:
        step = Step(
            slug=entry["slug"],
            title=entry["title"],
            aim=entry["aim"],
            numbers=Pool(tuple(entry["numbers"]), limit),
            forms=tuple(entry["forms"]),
            asks=tuple(entry["asks"]),
            needs=tuple(entry["needs"]),
            accuracy=float(entry["fluent"]["accuracy"]),
            seconds=float(entry["fluent"]["seconds"]),
            after=tuple(entry["after"]),
            standards=tuple(Standard(**standard) for standard in entry["standards"]),
            lay_out=entry["lay_out"],
            say=entry["say"],
        )
    except (KeyError, TypeError, ValueError) as error:
        raise SayitError(f"Step {slug!r} is incomplete ({error}): compare it with its neighbours.") from error
    if not {need.partition(":")[0] for need in step.needs} <= set(step.asks) or not step.needs:
        raise SayitError(f"Step {slug!r}: `needs` must name some of its `asks`.")
    return step
