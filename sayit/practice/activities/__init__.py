"""The ways of asking. ``ACTIVITIES`` holds them by name."""

from collections.abc import Sequence
from dataclasses import replace
from random import Random

from sayit.errors import SayitError
from sayit.numbers import Judgement
from sayit.practice.activities.activity import Activity
from sayit.practice.activities.build import BUILD
from sayit.practice.activities.built import built
from sayit.practice.activities.claps import CLAPS
from sayit.practice.activities.glimpse import GLIMPSE
from sayit.practice.activities.grow import GROW
from sayit.practice.activities.next_door import NEXT_DOOR
from sayit.practice.activities.other_way import OTHER_WAY
from sayit.practice.activities.places import PLACES
from sayit.practice.activities.read_out import READ_OUT
from sayit.practice.activities.say_back import SAY_BACK
from sayit.practice.activities.tens_in import TENS_IN
from sayit.practice.activities.things import THINGS
from sayit.practice.activities.to_ten import TO_TEN
from sayit.practice.activities.which_more import WHICH_MORE
from sayit.practice.key import Key, ask_name, labelled, split_ask
from sayit.practice.path import Path, Step
from sayit.practice.question import Question, Response

__all__ = [
    "ACTIVITIES",
    "Activity",
    "asks",
    "built",
    "judge_answer",
    "make_question",
    "number_for",
    "question_from_key",
    "split",
]

_TRIES = 60
_FAR = 2_000
_ASKS: dict[tuple[object, ...], tuple[str, ...]] = {}

ACTIVITIES = {
    activity.slug: activity
    for activity in (
        SAY_BACK,
        OTHER_WAY,
        READ_OUT,
        PLACES,
        GLIMPSE,
        BUILD,
        GROW,
        THINGS,
        CLAPS,
        TENS_IN,
        TO_TEN,
        NEXT_DOOR,
        WHICH_MORE,
    )
}


def split(ask: str) -> tuple[Activity, str]:
    """The activity and the variant of a name such as "other-way:explicit"."""
    slug, variant = split_ask(ask)
    if slug not in ACTIVITIES:
        raise SayitError(f"There is no way of asking {slug!r}: choose one of {', '.join(ACTIVITIES)}.")
    return ACTIVITIES[slug], variant


def asks(step: Step, *, needed: bool = False) -> tuple[str, ...]:
    """All ways of asking at a step, such as "other-way:explicit"; with ``needed`` those that decide mastery.

    A kind that suits none of the step's numbers is left out (305 has one name only).
    """
    return _asks(step.slug, step.numbers.limit, step.needs if needed else step.asks, step)


def _asks(slug: str, limit: int, slugs: tuple[str, ...], step: Step) -> tuple[str, ...]:
    known = (slug, limit, slugs, step.numbers.patterns)
    if known not in _ASKS:
        names = []
        for wanted in slugs:
            activity, only = split_ask(wanted)
            for variant in ACTIVITIES[activity].variants(step):
                if only not in ("", variant):
                    continue
                ask = ask_name(activity, variant)
                if number_for(step, ask, Random(0)) is not None:
                    names.append(ask)
        _ASKS[known] = tuple(names)
    return _ASKS[known]


def number_for(step: Step, ask: str, random: Random, avoid: Sequence[int] = (), like: str | None = None) -> int | None:
    """A number of the step that suits the kind of question, or None if none is found.

    ``like`` is a label such as "13", "4d" or "d0d0" that it should have; numbers in ``avoid``
    come only when nothing else is found.
    """
    activity, variant = split(ask)
    spare = None
    for _ in range(_TRIES):
        number = labelled(like, random) if like else step.numbers.pick(random, avoid)
        if number not in step.numbers or not activity.suits(number, variant):
            continue
        if number not in avoid:
            return number
        spare = number if spare is None or number not in avoid else spare
    if spare is None and len(step.numbers):
        # Few numbers suit: look along the whole pool from somewhere.
        start = random.randrange(len(step.numbers))
        along = (step.numbers[(start + ahead) % len(step.numbers)] for ahead in range(min(len(step.numbers), _FAR)))
        spare = next((number for number in along if activity.suits(number, variant)), None)
    return spare


def make_question(step: Step, ask: str, number: int, random: Random, purpose: str = "new") -> Question:
    """A question of a kind ``ask`` about ``number``; ``random`` only picks a partner where two numbers are needed."""
    activity, variant = split(ask)
    return _purposed(activity.ask(step, activity.pair(step, number, random), variant), purpose)


def question_from_key(path: Path, key: str, purpose: str = "again") -> Question:
    """The question with that ``Question.key``; ``SayitError`` for a key that this path does not know."""
    parsed = Key.parse(key)
    activity, variant = split(parsed.ask)
    try:
        question = activity.ask(path[parsed.step], parsed.about, variant)
    except (ValueError, KeyError):
        raise SayitError(f"{key!r} is no question: write step/activity:variant/number.") from None
    return _purposed(question, purpose)


def judge_answer(question: Question, answer: Response) -> Judgement:
    """What an answer is worth: value, verdict and reasons. Never raises for anything a child said or typed."""
    return ACTIVITIES[question.activity].judge(question, answer)


def _purposed(question: Question, purpose: str) -> Question:
    return replace(question, purpose=purpose)
