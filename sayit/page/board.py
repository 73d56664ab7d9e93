"""What stands on the two pages: built from the events of the sitting, sent whole at each change.

Both pages draw what they are sent and remember nothing, so a reload shows
what was there before it.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from sayit.numbers import Judgement
from sayit.page.marks import marks_of
from sayit.page.settings import Settings
from sayit.practice.question import Question
from sayit.sitting.events import (
    Aimed,
    Asked,
    Caught,
    Corrected,
    Event,
    Judged,
    Listening,
    Note,
    Notice,
    ParentNeeded,
    Speaking,
    TurnOf,
    answer_dict,
)
from sayit.sitting.explain import reason_in_words, wanted_in_words
from sayit.sitting.sit import Finished
from sayit.store import Answer

__all__ = ["Board"]

_KEPT = 30
_NOTICES = 6

# Signs of the child's screen: rest, speaks, turn, heard, again, adult.


class Board:
    """The state of both pages. ``changed`` is called, from any thread, after each change."""

    def __init__(self, settings: Settings, changed: Callable[[], None]) -> None:
        self._lock = threading.RLock()
        self._changed = changed
        self.settings = settings
        self.phase = "idle"
        self.sign = "rest"
        self.child = ""
        self.children: tuple[str, ...] = ()
        self.seats: dict[int, str] = {}
        self.handing = False
        self.aims: list[dict[str, str]] = []
        self.voices: tuple[str, ...] = ()
        self.outlook: dict[str, Any] | None = None
        self.arrangement: dict[str, Any] | None = None
        self.looking = False
        self.place: dict[str, Any] | None = None
        self.caption = ""
        self.aloud = True
        self.needed = ""
        self.question: Question | None = None
        self.attempt = 1
        self.asked = 0
        self.asking = False
        self.glimpse: int | None = None
        self.reveal = ""
        self.finished: dict[str, Any] | None = None
        self.began: float | None = None
        self.test: dict[str, Any] = {"state": "none"}
        self.parts = {part: {"ok": None, "text": ""} for part in ("screen", "microphone", "recogniser", "voice")}
        self._again = False
        self._answers: deque[dict[str, Any]] = deque(maxlen=_KEPT)
        self._notices: deque[dict[str, str]] = deque(maxlen=_NOTICES)

    def change(self, **values: Any) -> None:
        """Set what is given and tell the pages."""
        with self._lock:
            for name, value in values.items():
                setattr(self, name, value)
        self._changed()

    def part(self, name: str, ok: bool | None, text: str) -> None:
        """How a part is: ``ok`` None while it is not known yet."""
        with self._lock:
            if self.parts[name] == {"ok": ok, "text": text}:
                return
            self.parts[name] = {"ok": ok, "text": text}
        self._changed()

    def notice(self, kind: str, text: str) -> None:
        """Put a line before the parent; one of each kind, the latest."""
        with self._lock:
            self._forget(kind)
            self._notices.appendleft({"kind": kind, "text": text})
        self._changed()

    def forget(self, kind: str) -> None:
        """Take the line of that kind away."""
        with self._lock:
            self._forget(kind)
        self._changed()

    def begin(self, seats: dict[int, str], began: float, *, looking: bool = False) -> None:
        """A sitting of these children (number in the record and name) begins, ``looking`` for a place on the path or not.

        ``began`` is the time of day in seconds since 1970.
        """
        with self._lock:
            self._answers.clear()
            self._notices.clear()
            self._again = False
            self.phase, self.sign, self.seats, self.began = "running", "rest", dict(seats), began
            self.child, self.handing, self.aims = next(iter(seats.values())), False, []
            self.question, self.reveal, self.needed, self.finished = None, "", "", None
            self.asked, self.place, self.looking = 0, None, looking
        self._changed()

    def opening(self, question: Question, attempt: int) -> None:
        """The question that is about to be said."""
        with self._lock:
            self.question, self.attempt, self.reveal, self.needed = question, attempt, "", ""
            self.asked += attempt == 1
            self.asking, self.glimpse, self.handing = True, None, False
        self._changed()

    def see(self, event: Event) -> None:
        """Take in what the sitting reports."""
        with self._lock:
            self._take(event)
        self._changed()

    def _take(self, event: Event) -> None:
        match event:
            case Aimed(child=child, aim=aim, why=why):
                self.aims.append({"child": child, "aim": aim, "why": why})
            case TurnOf(child=child):
                self.child, self.handing = child, True
                self.question, self.reveal, self.asking = None, "", False
            case Speaking(words=words, aloud=aloud):
                self.caption, self.aloud = words, aloud
                self.sign = "again" if self._again else "speaks"
            case Asked():
                self._again = False
                if self.question and self.question.show and self.question.show.seconds:
                    self.glimpse = self.asked * 10 + self.attempt
            case Listening():
                self.sign, self.needed, self._again = "turn", "", False
            case Caught():
                self.sign = "heard"
            case Judged(answer=answer, judgement=judgement):
                self._again = answer.verdict == "unclear"
                self.needed, self.asking = "", False
                if not self._again:
                    self.reveal = _reveal(answer)
                self._answers.appendleft(_line(answer, judgement, self.seats if len(self.seats) > 1 else {}))
            case Note(text=text):
                if self._answers:
                    self._answers[0]["note"] = text
            case Corrected(answer=answer):
                self._again = False
                for line in self._answers:
                    if line["id"] == answer.id:
                        line["override"] = answer.override
            case ParentNeeded(why=why):
                self.needed, self.sign = why, "adult"
            case Notice(kind=kind, text=text):
                self._forget(kind)
                self._notices.appendleft({"kind": kind, "text": text})
            case Finished():
                self.phase, self.sign, self.caption, self.needed = "finished", "rest", "", ""
                self.question, self.reveal, self.asking, self.handing = None, "", False, False
                told = [share.told for share in event.shares]
                self.finished = event.to_dict()
                self.finished["children"] = [
                    child | {"told": words} for child, words in zip(self.finished["children"], told)
                ]

    def _forget(self, kind: str) -> None:
        for line in [line for line in self._notices if line["kind"] == kind]:
            self._notices.remove(line)

    def for_child(self) -> dict[str, Any]:
        """What the child's screen shows; nothing in it tells an answer before it was given."""
        with self._lock:
            question, show = self.question, None
            sitting = tuple(self.seats.values()) if self.phase == "running" and len(self.seats) > 1 else ()
            marks = marks_of(self.children, sitting) if sitting else {}
            if question and question.show and self.asking:
                show = {
                    "kind": question.show.kind,
                    "numbers": [str(number) for number in question.show.numbers],
                    "dots": [[dot.x, dot.y, dot.group] for dot in question.show.dots()],
                    "seconds": question.show.seconds,
                    "glimpse": self.glimpse,
                }
            return {
                "phase": self.phase,
                "sign": self.sign,
                "seats": [{"child": name, "mark": marks[name], "now": name == self.child} for name in sitting],
                "handing": self.handing,
                "caption": self.caption if self.settings.captions else "",
                "show": show,
                "way": question.way if question and self.asking else "spoken",
                "number": self.asked * 10 + self.attempt,
                "reveal": self.reveal,
                "sound": self.settings.sound,
                "keys": self.settings.keys,
                "listening": self.phase == "running" or self.test["state"] == "listening",
            }

    def for_desk(self) -> dict[str, Any]:
        """What the parent's desk shows."""
        with self._lock:
            question = self.question
            return {
                "phase": self.phase,
                "sign": self.sign,
                "child": self.child,
                "children": list(self.children),
                "marks": marks_of(self.children),
                "seats": list(self.seats.values()),
                "aims": list(self.aims),
                "looking": self.looking,
                "place": self.place,
                "voices": list(self.voices),
                "outlook": self.outlook,
                "arrangement": self.arrangement,
                "caption": self.caption,
                "aloud": self.aloud,
                "needed": self.needed,
                "asked": self.asked,
                "attempt": self.attempt,
                "wanted": wanted_in_words(question.value, question.form) if question else "",
                "activity": question.activity if question else "",
                "answers": [dict(line) for line in self._answers],
                "notices": [dict(line) for line in self._notices],
                "parts": {name: dict(part) for name, part in self.parts.items()},
                "settings": asdict(self.settings),
                "finished": self.finished,
                "began": self.began,
                "test": dict(self.test),
            }


def _reveal(answer: Answer) -> str:
    """The right digits, shown after every answer alike while they are said."""
    return str(answer.asked)


def _line(answer: Answer, judgement: Judgement, seats: dict[int, str]) -> dict[str, Any]:
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
