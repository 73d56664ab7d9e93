"""The time of day may be set while a sitting goes on: its length and its record stay sane."""

import time
from datetime import timedelta

import pytest

from sayit.sitting.clock import elapsed
from sayit.sitting.events import Finished
from sayit.sitting.wishes import Free, Wishes
from sayit.store import open_record
from sayit.store.settings import changed, keep_settings, settings_of
from tests.sitting.test_both_faces import SEED, START, Keys, Parent, Terminal, by_desk, quiet  # noqa: F401  # fixture

FREELY = {"low": 1, "high": 100, "ways": ["say-back"], "plan": False, "minutes": 30, "sound": "machine"}


class Jumping(Parent):
    """Whoever sets the clock of the machine by ``jump`` after the second answer."""

    def __init__(self, jump):
        super().__init__([True], 6)
        self._jump = jump
        self.finished = None

    def now(self):
        return super().now() + (self._jump if self.judged >= 2 else timedelta(0))

    def decides(self, event):
        if isinstance(event, Finished):
            self.finished = event
        return super().decides(event)


@pytest.mark.parametrize("jump", [timedelta(days=366), timedelta(days=-366)], ids=["forward", "back"])
@pytest.mark.parametrize("face", ["terminal", "desk"])
def test_a_clock_that_is_set_in_a_sitting_changes_nothing(face, jump, quiet, tmp_path, monkeypatch):  # noqa: F811
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path))
    with open_record() as record:
        record.add_child("Pip", at=START)
        keep_settings(record, changed(settings_of(record), FREELY))
    parent = Jumping(jump)
    if face == "desk":
        by_desk(tmp_path, parent, placing=False, monkeypatch=monkeypatch)
    else:
        from contextlib import ExitStack

        with ExitStack() as stack:
            Terminal(Wishes(minutes=30, free=Free(1, 100, ("say-back",)), seed=SEED), parent, stack, Keys()).run()
    with open_record() as record:
        (session,), answers = record.sessions(), record.answers()
    assert len(answers) == 6
    assert parent.finished.why == "stopped" and 0 < parent.finished.minutes < 2
    times = [session.started, *(at for answer in answers for at in (answer.asked_at, answer.judged_at)), session.ended]
    assert times == sorted(times) and times[-1] - times[0] < timedelta(minutes=2)


def test_the_count_of_time_goes_on_and_is_not_the_time_of_day():
    before = elapsed()
    assert before <= elapsed() < before + 3600
    assert abs(elapsed() - time.time()) > 86_400
