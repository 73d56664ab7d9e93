"""What the pages are sent of an answer, a picture and a finished sitting, as plain values for JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sayit.numbers import Judgement, reason_in_words, wanted_in_words
from sayit.practice.question import Shown
from sayit.sitting.events import Finished, answer_dict
from sayit.store import Answer

__all__ = ["answer_line", "finished_view", "shown_view"]


def answer_line(answer: Answer, judgement: Judgement, seats: Mapping[int, str]) -> dict[str, Any]:
    """A line of the desk's list; ``seats`` are the names by number where several children sit."""
    if answer.judged_by == "parent":
        why = "You judged it."
    elif answer.verdict == "unclear" and answer.response_seconds is None:
        why = "Nothing was heard."
    else:
        why = reason_in_words(judgement)
    return {
        **answer_dict(answer),
        "child": seats.get(answer.child, ""),
        "heard": answer.built if answer.built is not None else answer.heard,
        "way": answer.way,
        "wanted": wanted_in_words(answer.asked, answer.form),
        "why": why,
    }


def shown_view(show: Shown, glimpse: int | None) -> dict[str, Any]:
    """A picture for the child; ``glimpse`` tells one showing from the next."""
    return {
        "kind": show.kind,
        "numbers": [str(number) for number in show.numbers],
        "dots": [[dot.x, dot.y, dot.group] for dot in show.dots()],
        "seconds": show.seconds,
        "glimpse": glimpse,
    }


def finished_view(event: Finished) -> dict[str, Any]:
    """A finished sitting with how each child's aim went in words."""
    found = event.to_dict()
    told = [share.told for share in event.shares]
    found["children"] = [child | {"told": words} for child, words in zip(found["children"], told, strict=True)]
    return found
