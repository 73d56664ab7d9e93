"""What the pages are sent of an answer, a picture and a finished sitting, as plain values for JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sayit.numbers import Judgement, reason_in_words, wanted_in_words
from sayit.practice.activities import ACTIVITIES
from sayit.practice.drawing import svg
from sayit.practice.layout import HIGHEST, frame_of, lay_out
from sayit.practice.question import Shown
from sayit.sitting.events import Finished, answer_dict
from sayit.store import Answer

__all__ = ["answer_line", "finished_view", "grown_view", "reveal_view", "shown_view"]


def answer_line(
    answer: Answer, judgement: Judgement, seats: Mapping[int, str], *, use_and: bool = False
) -> dict[str, Any]:
    """A line of the desk's list; ``seats`` are the names by number where several children sit, ``use_and`` is the household's."""
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
        "wanted": wanted_in_words(answer.asked, answer.form, use_and=use_and),
        "why": why,
    }


def shown_view(show: Shown, glimpse: int | None) -> dict[str, Any]:
    """A picture for the child; ``glimpse`` tells one showing from the next."""
    return {
        "kind": show.kind,
        "numbers": [str(number) for number in show.numbers],
        "pictures": [
            svg(laid, label="Things to count at a glance", digits=False, standalone=False, middle=True)
            for laid in show.pictures()
        ],
        "seconds": show.seconds,
        "frame": show.frame,
        "glimpse": glimpse,
    }


def reveal_view(answer: Answer, about: tuple[int, ...]) -> dict[str, Any]:
    """What is shown after an answer, whatever its verdict: the child's own number, then the one that was asked for.

    Both in one frame, so that a lost zero or swapped digits can be seen. Where it was asked how much of
    something is in a number, the number itself is shown.
    """
    part_of = not ACTIVITIES[answer.activity].tells_number and answer.activity != "which-more"
    asked, own = (about[0], None) if part_of else (answer.asked, answer.value)
    shown = [number for number in (asked, own) if number is not None and number <= HIGHEST]
    frame = frame_of(*shown) if asked <= HIGHEST else None

    def drawn(number: int | None) -> dict[str, Any] | None:
        if number is None:
            return None
        picture = svg(lay_out(number, frame), standalone=False) if frame and number <= HIGHEST else ""
        return {"digits": str(number), "picture": picture}

    return {"asked": drawn(asked), "own": drawn(own)}


def grown_view(heard: int | None, given: Shown | None) -> dict[str, str]:
    """What was heard so far as a picture, as large as the quantity ``given``; "" for nothing, and for more than can be shown."""
    if heard is None or heard > HIGHEST:
        return {"picture": ""}
    frame = frame_of(heard, *(given.numbers if given else ()))
    return {"picture": svg(lay_out(heard, max(99, frame)), standalone=False)}


def finished_view(event: Finished) -> dict[str, Any]:
    """A finished sitting with how each child's aim went in words."""
    found = event.to_dict()
    told = [share.told for share in event.shares]
    found["children"] = [child | {"told": words} for child, words in zip(found["children"], told, strict=True)]
    return found
