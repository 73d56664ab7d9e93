"""Who leads a sitting at the desk: the practice for one child or several in turns, the parent's ticks, or the search for a place."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from random import Random

from sayit.page.questions import InTurns, draw_ways
from sayit.page.settings import FORMS, HIGHEST, Settings, forms_for
from sayit.practice.asking import Asking
from sayit.practice.learner import Learner
from sayit.practice.placement import MINUTES
from sayit.practice.question import Question
from sayit.sitting.planned import Led, Searching, lead_by_plan
from sayit.store import Child

__all__ = ["lead", "place_in_words"]


def lead(
    settings: Settings,
    children: Sequence[tuple[Child, Learner]],
    now: datetime,
    *,
    seed: int,
    looking: bool = False,
) -> Led | Asking:
    """A guide for these children, the first of them alone where it is ``looking`` for a place.

    Questions in a form that is not wanted from the child are passed over.
    """
    forms = [forms_for(settings, child.id) for child, _ in children]

    def fits(question: Question) -> bool:
        wanted = forms[guide.whose]
        return question.form in wanted or question.form not in FORMS

    if not looking and not settings.plan:
        askings = [_drawn(settings, seed + place, wanted) for place, wanted in enumerate(forms)]
        return askings[0] if len(askings) == 1 else InTurns(askings, now, settings.minutes)
    minutes = MINUTES if looking else settings.minutes
    guide = lead_by_plan(
        [learner for _, learner in children], now, seed=seed, minutes=minutes, knows=fits, looking=looking
    )
    return guide


def _drawn(settings: Settings, seed: int, forms: tuple[str, ...]) -> Asking:
    high = min(settings.high, HIGHEST)
    return Asking(draw_ways(Random(seed), low=settings.low, high=high, forms=forms, ways=settings.ways))


def place_in_words(name: str, search: Searching, answers: int) -> str:
    """What the search for a place found by so many ``answers``, in plain words for the parent."""
    title = search.placement.path[search.placement.step].title
    told = f"{answers} {'answer' if answers == 1 else 'answers'}"
    if not answers:
        return f"Nothing was answered, so nothing is known of {name}'s place."
    if search.found:
        return f"{name}'s place on the path is “{title}”, after {told}."
    return (
        f"{name}'s place on the path is not sure after {told}; likeliest it is “{title}”. "
        "Leave it and look again another day, or take it if it fits what you see."
    )
