"""The same placement and the same sixty answers through the terminal and through the desk leave equal records.

Both faces are the real ones; only their devices are replaced: there is no microphone and no loudspeaker, the parent's keys are
pressed when an event is reported, and the clock goes on by nine seconds with each answer.
"""

import io
import threading
from collections import deque
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from itertools import cycle

import pytest
from rich.console import Console

from sayit.errors import SayitError
from sayit.hearing.capture import Microphone, MicrophoneLost
from sayit.hearing.loading import Loading
from sayit.page.board import Board
from sayit.page.desk import Desk
from sayit.sitting.events import Judged, Listening, ParentNeeded
from sayit.sitting.parent import Choice
from sayit.sitting.wishes import Wishes
from sayit.speaking.voice import SpokenVoice
from sayit.store import open_record
from sayit.store.learning import learner_of
from sayit.store.settings import changed, keep_settings, settings_of
from sayit.terminal.lines import Lines
from sayit.terminal.practice import Options, _Practice

START = datetime(2026, 3, 2, 16, 0, tzinfo=UTC)
SEED = 5
ANSWERS = 60
PLACING = [True] * 7 + [False] * 3
"""Right and wrong, over and over, while the place is looked for, and below while the plan leads."""
PLANNED = [True, True, False, True, True, True, False, True]


class Parent:
    """What the parent decides at each event, and the clock that goes on with their decisions."""

    def __init__(self, verdicts, most):
        self._verdicts, self._most = cycle(verdicts), most
        self.judged = 0

    def now(self):
        return START + timedelta(seconds=self.seconds())

    def seconds(self):
        return 9.0 * self.judged

    def decides(self, event):
        match event:
            case ParentNeeded(verdict=False):
                return [Choice.GO]
            case ParentNeeded() | Listening():
                if self.judged >= self._most:
                    return [Choice.STOP]
                return [Choice.RIGHT if next(self._verdicts) else Choice.WRONG]
            case Judged():
                self.judged += 1
                return [Choice.GO]
        return []


class Keys:
    """The terminal's keyboard."""

    def __init__(self):
        self.pressed = deque()

    def wait(self, seconds=None):
        if not self.pressed and seconds is None:
            raise AssertionError("the sitting waits for a key that nobody presses")
        return self.pressed.popleft() if self.pressed else None


LETTERS = {Choice.RIGHT: "r", Choice.WRONG: "w", Choice.GO: "g", Choice.STOP: "q"}


class Terminal(_Practice):
    """The terminal's own code, on a screen that is read by nobody."""

    def __init__(self, wishes, parent, stack, keys):
        super().__init__(["Pip"], wishes, Options(voice=False), stack, keys)
        self._lines = Lines(Console(file=io.StringIO(), force_terminal=True, width=80), hands=True)
        self._now, self._seconds, self._parent = parent.now, parent.seconds, parent

    def _report(self, event):
        super()._report(event)
        self._keys.pressed.extend(LETTERS[choice] for choice in self._parent.decides(event))


def by_terminal(wishes, parent):
    with ExitStack() as stack:
        Terminal(wishes, parent, stack, Keys()).run()


def by_desk(home, parent, *, placing, monkeypatch):
    def loading():
        raise SayitError("no recogniser is needed")

    over = threading.Event()

    def told():
        if holder and holder[0].board.state.phase == "finished":
            over.set()

    holder = []
    desk = Desk(
        tell_screen=lambda message: None, tell_desks=lambda message: None, changed=told, listener=Loading(loading),
        record=home / "record.sqlite3", now=parent.now, seconds=parent.seconds, seed=SEED,
    )  # fmt: skip
    holder.append(desk)

    def see(board, event, seen=Board.see):
        seen(board, event)
        for choice in parent.decides(event):
            desk.wants("choice", {"choice": choice.value})

    monkeypatch.setattr(Board, "see", see)
    desk.wants("find" if placing else "start", {})
    assert over.wait(120), desk.board.state
    desk._stage.join(30)
    if placing:
        desk.wants("take-place", {})
    desk.close()


@pytest.fixture
def quiet(monkeypatch):
    """No microphone and no loudspeaker."""

    def lost(self):
        raise MicrophoneLost("There is none.")

    monkeypatch.setattr(Microphone, "__enter__", lost)
    monkeypatch.setattr(SpokenVoice, "__bool__", lambda self: False)


def everything(home):
    with open_record(home / "record.sqlite3") as record:
        (pip,) = record.children()
        return {
            "child": pip,
            "placements": record.placements(pip),
            "sessions": record.sessions(),
            "answers": record.answers(),
            "learner": learner_of(record, pip, keep=False).to_dict(),
        }


def test_a_placement_and_sixty_answers_leave_equal_records(quiet, tmp_path, monkeypatch):
    kept = {}
    for face in ("terminal", "desk"):
        home = tmp_path / face
        home.mkdir()
        monkeypatch.setenv("SAYIT_HOME", str(home))
        with open_record(home / "record.sqlite3") as record:
            record.add_child("Pip", at=START)
            keep_settings(record, changed(settings_of(record), {"sound": "machine", "minutes": 30}))
        for placing, verdicts, most in ((True, PLACING, 99), (False, PLANNED, ANSWERS)):
            parent = Parent(verdicts, most)
            if face == "terminal":
                by_terminal(Wishes(minutes=None if placing else 30, placing=placing, seed=SEED), parent)
            else:
                with monkeypatch.context() as patch:
                    by_desk(home, parent, placing=placing, monkeypatch=patch)
        kept[face] = everything(home)
    terminal, desk = kept["terminal"], kept["desk"]
    assert len(terminal["answers"]) > ANSWERS and len(terminal["placements"]) == 1
    assert [answer.purpose for answer in terminal["answers"]].count("placement") == len(terminal["answers"]) - ANSWERS
    for part, value in terminal.items():
        assert value == desk[part], part


def test_forms_set_for_a_child_hold_in_both(quiet, tmp_path, monkeypatch):
    for face in ("terminal", "desk"):
        home = tmp_path / face
        home.mkdir()
        monkeypatch.setenv("SAYIT_HOME", str(home))
        with open_record(home / "record.sqlite3") as record:
            pip = record.set_forms(record.add_child("Pip", at=START), ("plain",))
            record.place(pip, "tens-and-ones", at=START)
            keep_settings(record, changed(settings_of(record), {"sound": "machine", "minutes": 30}))
        parent = Parent(PLANNED, ANSWERS)
        if face == "terminal":
            by_terminal(Wishes(minutes=30, seed=SEED), parent)
        else:
            with monkeypatch.context() as patch:
                by_desk(home, parent, placing=False, monkeypatch=patch)
        answers = everything(home)["answers"]
        assert len(answers) == ANSWERS and not any(answer.form == "explicit" for answer in answers), face


def test_a_sitting_can_be_narrowed_to_one_form_and_is_still_led_by_the_plan(quiet, tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path))
    with open_record(tmp_path / "record.sqlite3") as record:
        pip = record.add_child("Pip", at=START)
        record.place(pip, "tens-and-ones", at=START)
    by_terminal(Wishes(minutes=30, forms=("plain",), seed=SEED), Parent(PLANNED, ANSWERS))
    kept = everything(tmp_path)
    assert len(kept["answers"]) == ANSWERS and kept["child"].forms == ("plain", "explicit")
    assert not any(answer.form == "explicit" or answer.question.startswith("free/") for answer in kept["answers"])
    assert kept["sessions"][0].aim
