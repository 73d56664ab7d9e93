"""Simulated children over 60 days: the plan against random order and a fixed order.

    python -m tests.benchmarks.simulation [--seeds 20] [--days 60] [--jobs 2]

The children are described in ``tests/practice/children.py``. All three orders ask the same
kinds of questions, from the same steps, for the same minutes a day, say the right
answer after each question, and feed the same record of the child; only the
choice of the next question differs.

plan     the sitting of ``sayit.practice``, follow-ups, warm-up, closing questions and all
random   any step up to the child's own, any way of asking, any number, all as likely
fixed    step after step from the first to the child's own, in each every way of asking, in
         each every number (twenty spread evenly where there are more), and round again
behind   the same from the child's own step backwards, which knows where to start

The child moves on to the next step by the same rule of mastery in all of them.

A gap is *found* when the record names its reason with a weight of 1.5 (about two such
misses within a week), or the growth of response times says counting. It is *closed* to a
level on the first of three mornings in a row on which the child would, before any practice, get
the gap's pieces right with that probability in the mean. *Kept* is that mean over the
last ten mornings: whether it stays closed while the child moves on.
"""

import argparse
import math
import statistics
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from random import Random

from sayit.practice.activities import asks, judge_answer, make_question, number_for, split
from sayit.practice.counting import slope
from sayit.practice.folding import fold
from sayit.practice.learner import Learner, Past
from sayit.practice.path import Step
from sayit.practice.question import Question
from sayit.practice.session import lead_one
from tests.practice.children import TEENS, TIES, Child, Piece

MINUTES = 8.0
START = datetime(2026, 1, 5, 16, 0, tzinfo=UTC)
LEVELS = (0.85, 0.9)
PROMPT, REPLY, MODEL, KEYS = 2.5, 2.0, 2.5, 2.0
"""Seconds for the prompt, a short reply, saying the right answer, pressing the keys: invented."""

ALL = frozenset(
    [*"see pair more next before ten-more ten-less tens hundreds claps digits word".split(), "tens form", "teen or ty"]
)


@dataclass(frozen=True)
class Profile:
    """A kind of child: where the parent puts it, what is weak, and the reason that would name its gap."""

    name: str
    step: str
    known: frozenset[str]
    weak: frozenset[Piece]
    reasons: tuple[str, ...]
    quickness: int = 1


def _pieces(kind: str, which) -> frozenset[Piece]:
    return frozenset((kind, one) for one in which)


PROFILES = (
    Profile(
        "learns fast",
        "teens",
        frozenset(("see", "pair", "more", "next", "before", "claps")),
        _pieces("teen or ty", (*TEENS, *TIES))
        | _pieces("tens form", range(1, 10))
        | _pieces("digits", ("dd", "d0"))
        | _pieces("word", (10, 11, 12, 20))
        | _pieces("tens", (2,)),
        (),
        2,
    ),
    Profile(
        "swaps teens and tens",
        "tens-and-ones",
        ALL,
        _pieces("teen or ty", (*TEENS, *TIES)),
        ("teen-ty-swap",),
    ),
    Profile(
        "drops zeros",
        "all-thousands",
        ALL,
        _pieces("digits", ("d0d", "d0dd", "dd0d", "d00d", "d0d0")),
        ("lost-zero",),
    ),
    Profile(
        "counts",
        "pairs-to-ten",
        ALL,
        _pieces("see", range(4, 11)),
        ("counted",),
    ),
)


@dataclass(frozen=True)
class Result:
    """Questions until the gap was found and closed to each level (None: never), what was kept, all asked."""

    found: int | None
    closed: tuple[int | None, ...]
    kept: float
    asked: int


def simulate(profile: Profile, order: str, seed: int, days: int) -> Result:
    """One child, one order, so many days."""
    child = Child(Random(f"child {seed}"), profile.known, profile.weak, profile.quickness)
    learner = Learner(step=profile.step)
    stream = None if order == "plan" else ORDERS[order](learner, Random(f"order {seed}"))
    gap = sorted(profile.weak, key=str)
    asked, found, mornings = 0, None, []
    for day in range(days):
        mornings.append((asked, statistics.fmean(child.recall(piece) for piece in gap)))
        now = START + timedelta(days=day)
        end = now + timedelta(minutes=MINUTES)
        session = lead_one(learner, now, seed=seed * 1000 + day, minutes=MINUTES) if stream is None else None
        while now < end:
            question = session.next_question(now) if session else next(stream)
            if question is None:
                break
            asked += 1
            answer = child.answer(question)
            spent = PROMPT + answer.response_seconds + REPLY + (KEYS if question.way == "digits" else 0.0)
            now += timedelta(seconds=spent)
            child.pass_time(spent)
            if session:
                missed = session.take(answer, now).level == "missed"
            else:
                judged = judge_answer(question, answer)
                missed = judged.verdict != "right"
                if judged.verdict != "unclear":
                    fold(learner, Past(now, question.key, judged.verdict, judged.reasons, answer.response_seconds))
            if missed:
                now += timedelta(seconds=MODEL)
                child.pass_time(MODEL)
            if found is None and _named(learner, profile):
                found = asked
        child.pass_time((START + timedelta(days=day + 1) - now).total_seconds())
    closed = tuple(_closed(mornings, level) for level in LEVELS)
    return Result(found, closed, statistics.fmean(mean for _, mean in mornings[-10:]), asked)


def _closed(mornings: list[tuple[int, float]], level: float) -> int | None:
    for first in range(len(mornings) - 2):
        if all(mean >= level for _, mean in mornings[first : first + 3]):
            return mornings[first][0]
    return None


def _named(learner: Learner, profile: Profile) -> bool:
    if "counted" in profile.reasons:
        grows = slope(learner.glimpses)
        if grows and grows.counting:
            return True
    weight = sum(skill.reasons.get(reason, 0.0) for skill in learner.skills.values() for reason in profile.reasons)
    return weight >= 1.5


def _steps(learner: Learner) -> tuple[Step, ...]:
    return learner.path.steps[: learner.path.index(learner.step) + 1]


def _random(learner: Learner, random: Random) -> Iterator[Question]:
    while True:
        step = random.choice(_steps(learner))
        ask = random.choice(asks(step))
        yield make_question(step, ask, number_for(step, ask, random), random)


def _fixed(learner: Learner, random: Random) -> Iterator[Question]:
    while True:
        for step in _steps(learner):
            yield from _through(step, random)


def _behind(learner: Learner, random: Random) -> Iterator[Question]:
    while True:
        for step in reversed(_steps(learner)):
            yield from _through(step, random)


def _through(step: Step, random: Random) -> Iterator[Question]:
    for ask in asks(step):
        activity, variant = split(ask)
        every = [n for n in (step.numbers[at] for at in range(len(step.numbers))) if activity.suits(n, variant)]
        for number in every[:: max(1, math.ceil(len(every) / 20))]:
            yield make_question(step, ask, number, random)


ORDERS = {"random": _random, "fixed": _fixed, "behind": _behind}


def _cell(values: list[int | None], asked: list[int]) -> str:
    """Median and the 10 % and 90 % points; a run that never got there counts as longer than all asked."""
    ranked = sorted(math.inf if value is None else value for value in values)
    low, middle, high = (ranked[round(share * (len(ranked) - 1))] for share in (0.1, 0.5, 0.9))
    most = max(asked)

    def text(value: float) -> str:
        return f">{most}" if value == math.inf else str(int(value))

    if low == math.inf:
        return f">{most}"

    return f"{text(middle)} ({text(low)}-{text(high)})"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--days", type=int, default=60)
    parser.add_argument("--jobs", type=int, default=1)
    arguments = parser.parse_args()
    print(
        f"{arguments.seeds} seeds, {arguments.days} days of {MINUTES:.0f} minutes; "
        "questions asked until then, median (10 %-90 %)\n"
    )
    levels = " | ".join(f"closed to {level:.0%}" for level in LEVELS)
    print(f"| child | order | found | {levels} | kept |")
    print("|---|---|---|" + "---|" * len(LEVELS) + "---|")
    with ProcessPoolExecutor(arguments.jobs) as pool:
        for profile in PROFILES:
            for order in ("plan", *ORDERS):
                runs = [pool.submit(simulate, profile, order, seed, arguments.days) for seed in range(arguments.seeds)]
                results = [run.result() for run in runs]
                asked = [result.asked for result in results]
                cells = [_cell([result.found for result in results], asked) if profile.reasons else "-"]
                for place in range(len(LEVELS)):
                    closed = [result.closed[place] for result in results]
                    never = closed.count(None)
                    cells.append(_cell(closed, asked) + (f", {never} of {len(closed)} never" if never else ""))
                cells.append(f"{statistics.fmean(result.kept for result in results):.0%}")
                print(f"| {profile.name} | {order} | {' | '.join(cells)} |", flush=True)


if __name__ == "__main__":
    main()
