"""What stands on the two pages: built from the events of the sitting, sent whole at each change.

Both pages draw what they are sent and remember nothing, so a reload shows
what was there before it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from sayit.numbers import wanted_in_words
from sayit.page.marks import marks_of
from sayit.page.views import answer_line, finished_view, grown_view, reveal_view, shown_view
from sayit.practice.activities import ACTIVITIES
from sayit.practice.aims import CLOSING
from sayit.practice.question import Question
from sayit.sitting.events import (
    Aimed,
    Asked,
    Caught,
    Corrected,
    Event,
    Finished,
    Growing,
    Judged,
    Listening,
    Note,
    Notice,
    Opened,
    ParentNeeded,
    Speaking,
    TurnOf,
)
from sayit.store.settings import FREELY, Settings

__all__ = ["Board", "State"]

_KEPT = 120
"""Lines of a sitting at most; ninety answers are usual."""
_NOTICES = 6
_PARTS = ("screen", "microphone", "recogniser", "voice")

Line = dict[str, Any]


@dataclass(frozen=True, slots=True)
class State:
    """All that both pages draw.

    ``phase`` is "idle", "running" or "finished", ``sign`` that of the child's screen ("rest", "speaks", "turn", "heard", "again" or
    "adult"). ``seats`` are the children of the sitting by their number in the record, ``child`` is whose turn it is, ``handing`` is
    True while the turn passes. ``asking`` is True until the open question was answered, ``glimpse`` tells one showing from
    the next, ``reveal`` are the numbers shown after the answer, ``masked`` is the caption without its
    numbers. ``about`` is what a judgement of the parent is about now: the ``number`` of the question and the ``value`` asked.
    ``done`` counts what was answered, right or not, ``left`` what each child still has to come once its end is near, and ``growing``
    is the number heard so far while the child speaks. ``paused`` is True while
    the parent lets everything rest. ``began`` is in seconds since 1970. ``again`` is True after an
    answer that was not clear.
    """

    settings: Settings
    phase: str = "idle"
    sign: str = "rest"
    child: str = ""
    children: tuple[str, ...] = ()
    seats: Mapping[int, str] = field(default_factory=dict)
    handing: bool = False
    aims: tuple[dict[str, str], ...] = ()
    voices: tuple[str, ...] = ()
    outlook: Mapping[str, Any] | None = None
    arrangement: Mapping[str, Any] | None = None
    looking: bool = False
    place: Mapping[str, Any] | None = None
    caption: str = ""
    masked: str = ""
    done: int = 0
    left: Mapping[str, int] = field(default_factory=dict)
    paused: bool = False
    growing: int | None = None
    aloud: bool = True
    needed: str = ""
    question: Question | None = None
    attempt: int = 1
    asked: int = 0
    asking: bool = False
    about: Mapping[str, int] | None = None
    glimpse: int | None = None
    reveal: Mapping[str, Any] | None = None
    finished: Mapping[str, Any] | None = None
    began: float | None = None
    test: Mapping[str, Any] = field(default_factory=lambda: {"state": "none"})
    parts: Mapping[str, Mapping[str, Any]] = field(
        default_factory=lambda: {part: {"ok": None, "text": ""} for part in _PARTS}
    )
    answers: tuple[Line, ...] = ()
    notices: tuple[dict[str, str], ...] = ()
    again: bool = False


class Board:
    """The state of both pages. ``changed`` is called, from any thread, after each change."""

    def __init__(self, settings: Settings, changed: Callable[[], None]) -> None:
        self._lock = threading.RLock()
        self._changed = changed
        self.state = State(settings)

    @property
    def settings(self) -> Settings:
        """The household's settings."""
        return self.state.settings

    @property
    def running(self) -> bool:
        """Whether a sitting goes on."""
        return self.state.phase == "running"

    def change(self, **values: Any) -> None:
        """Set fields of ``State`` and tell the pages; TypeError for a field that there is not."""
        with self._lock:
            self._set(**values)
        self._changed()

    def part(self, name: str, ok: bool | None, text: str) -> None:
        """How a part is: ``ok`` None while it is not known yet. KeyError for a part that there is not."""
        with self._lock:
            if self.state.parts[name] == {"ok": ok, "text": text}:
                return
            self._set(parts={**self.state.parts, name: {"ok": ok, "text": text}})
        self._changed()

    def notice(self, kind: str, text: str) -> None:
        """Put a line before the parent; one of each kind, the latest."""
        with self._lock:
            others = tuple(line for line in self.state.notices if line["kind"] != kind)
            self._set(notices=({"kind": kind, "text": text}, *others)[:_NOTICES])
        self._changed()

    def forget(self, kind: str) -> None:
        """Take the line of that kind away."""
        with self._lock:
            self._set(notices=tuple(line for line in self.state.notices if line["kind"] != kind))
        self._changed()

    def begin(self, seats: Mapping[int, str], began: float, *, looking: bool = False) -> None:
        """A sitting of these children (number in the record and name) begins, ``looking`` for a place on the path or not.

        ``began`` is the time of day in seconds since 1970.
        """
        with self._lock:
            now = self.state
            self.clear()
            self._set(
                phase="running",
                child=next(iter(seats.values())),
                seats=dict(seats),
                began=began,
                looking=looking,
                outlook=now.outlook,
                arrangement=now.arrangement,
            )
        self._changed()

    def clear(self) -> None:
        """Let nothing stand there of a sitting, or of what holds for a child; the pages are told with the next change."""
        with self._lock:
            now = self.state
            self.state = State(now.settings, children=now.children, voices=now.voices, test=now.test, parts=now.parts)

    def see(self, event: Event) -> None:
        """Take in what the sitting reports."""
        with self._lock:
            self._take(event)
        self._changed()

    def _set(self, **values: Any) -> None:
        self.state = replace(self.state, **values)

    def _take(self, event: Event) -> None:
        now = self.state
        match event:
            case Aimed(child=child, aim=aim, why=why):
                self._set(aims=(*now.aims, {"child": child, "aim": aim, "why": why}))
            case TurnOf(child=child):
                self._set(child=child, handing=True, question=None, reveal=None, asking=False)
            case Opened(question=question, attempt=attempt):
                left = now.left
                if question.purpose == "closing" and attempt == 1:
                    before = left.get(now.child)
                    left = {**left, now.child: CLOSING if before is None else max(1, before - 1)}
                self._set(
                    left=left, question=question, attempt=attempt, asked=now.asked + (attempt == 1), asking=True,
                    growing=None, reveal=None, needed="", glimpse=None, handing=False,
                )  # fmt: skip
            case Speaking(words=words, aloud=aloud, masked=masked):
                self._set(caption=words, masked=masked or words, aloud=aloud, sign="again" if now.again else "speaks")
            case Asked(question=question):
                shown = question.show and question.show.seconds
                number = now.asked * 10 + now.attempt
                about = {"number": number, "value": question.value}
                self._set(again=False, about=about, glimpse=number if shown else now.glimpse)
            case Listening():
                self._set(sign="turn", needed="", again=False)
            case Growing(value=value) if now.settings.growing:
                self._set(growing=value)
            case Caught():
                self._set(sign="heard")
            case Judged(answer=answer, judgement=judgement):
                again = answer.verdict == "unclear"
                seats = now.seats if len(now.seats) > 1 else {}
                line = answer_line(answer, judgement, seats, use_and=now.settings.use_and)
                line["number"] = now.asked * 10 + now.attempt
                reveal = now.reveal
                if not again and now.question:
                    reveal = reveal_view(answer, now.question.about)
                self._set(
                    again=again,
                    needed="",
                    asking=False,
                    reveal=reveal,
                    done=now.done + (not again),
                    answers=(line, *now.answers)[:_KEPT],
                )
            case Note(text=text) if now.answers:
                self._set(answers=({**now.answers[0], "note": text}, *now.answers[1:]))
            case Corrected(answer=answer):
                own = {"override": answer.override}
                lines = tuple({**line, **own} if line["id"] == answer.id else line for line in now.answers)
                self._set(again=False, answers=lines)
            case ParentNeeded(why=why):
                self._set(needed=why, sign="adult")
            case Notice(kind=kind, text=text):
                self.notice(kind, text)
            case Finished():
                self._set(
                    phase="finished", sign="rest", caption="", needed="", question=None, reveal=None, asking=False,
                    handing=False, finished=finished_view(event),
                )  # fmt: skip

    def for_child(self) -> dict[str, Any]:
        """What the child's screen shows; nothing in it tells an answer before it was given."""
        now = self.state
        question = now.question if now.asking else None
        sitting = tuple(now.seats.values()) if self.running and len(now.seats) > 1 else ()
        marks = marks_of(now.children, sitting) if sitting else {}
        return {
            "phase": now.phase,
            "sign": "rest" if now.paused else now.sign,
            "paused": now.paused,
            "seats": [{"child": name, "mark": marks[name], "now": name == now.child} for name in sitting],
            "handing": now.handing,
            "caption": (now.masked if now.asking else now.caption) if now.settings.captions else "",
            "done": now.done,
            "left": now.left.get(now.child),
            "grown": question and question.grows and grown_view(now.growing, question.show),
            "show": question and question.show and shown_view(question.show, now.glimpse),
            "way": question.way if question else "spoken",
            "clapped": bool(question and question.clapped),
            "number": now.asked * 10 + now.attempt,
            "reveal": now.reveal,
            "aloud": now.aloud,
            "sound": now.settings.sound,
            "listening": (self.running and not now.paused) or now.test["state"] == "listening",
        }

    def for_desk(self) -> dict[str, Any]:
        """What the parent's desk shows."""
        now = self.state
        question = now.question
        alike = {
            name: getattr(now, name)
            for name in (
                "phase", "paused", "sign", "child", "children", "aims", "about", "looking", "place", "voices", "outlook", "arrangement",
                "caption", "aloud", "needed", "asked", "attempt", "answers", "notices", "parts", "finished", "began", "test",
            )
        }  # fmt: skip
        return alike | {
            "marks": marks_of(now.children),
            "seats": list(now.seats.values()),
            "wanted": wanted_in_words(question.value, question.form, use_and=now.settings.use_and) if question else "",
            "activity": question.activity if question else "",
            "settings": asdict(now.settings),
            "freely": [[slug, ACTIVITIES[slug].says.capitalize()] for slug in FREELY],
        }
