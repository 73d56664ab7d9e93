"""Sittings that the practice leads: their end, their aim, turns, a placement; a parent judges, the rest is real."""

import itertools
from collections import Counter
from datetime import timedelta

import numpy as np
import pytest

from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.placement import lead_placement
from sayit.practice.session import lead_one
from sayit.practice.turns import lead_turns
from sayit.sitting.parent import Choice
from sayit.sitting.sit import GRACE_MINUTES
from sayit.sitting.table import Seat
from sayit.store import keep_sound
from sayit.store.sounds import folder
from tests.sitting.conftest import START


class Judges:
    """A parent who judges each answer by ``says(question number)`` and corrects nothing."""

    present = True

    def __init__(self, says=lambda number: Choice.RIGHT):
        self._says = says
        self.asked = 0

    def decide(self, seconds):
        if seconds is not None:
            return None
        self.asked += 1
        return self._says(self.asked)


def spoken_only(whose, question):
    return question.way == "spoken" and question.show is None


def led(prepare, guide, judges=None, *, step=6.0, fits=spoken_only):
    sitting = prepare((), ears=False, step=step)
    sitting.table.guide = guide
    sitting.table.devices.parent = judges or Judges()
    sitting.table.fits = fits
    return sitting


def test_the_practice_ends_the_sitting_after_its_closing_questions(prepare):
    session = lead_one(Learner(step="tens-and-ones"), START, seed=1, minutes=5)
    sitting = led(prepare, session)
    finished = sitting.play(minutes=5)
    assert finished.why == "no-more" and 4 < finished.minutes < 5 + GRACE_MINUTES
    assert session.over and session.because == "the time is up"
    (share,) = finished.shares
    assert share.met == session.closing.met != "not asked"
    assert share.aim == session.aim.sentence and share.told
    (kept,) = sitting.record.sessions()
    assert kept.aim_met == share.met
    assert [answer.purpose for answer in sitting.answers].count("closing") == 3
    (aim,) = sitting.named("Aimed")
    assert (aim.aim, aim.why) == (session.aim.sentence, session.aim.why)
    first_words = next(place for place, event in enumerate(sitting.events) if type(event).__name__ == "Speaking")
    assert sitting.events.index(aim) < first_words, "the aim is told before the greeting"


def test_the_minutes_do_not_run_on_in_a_rest(prepare):
    def says(number):
        if number == 5:
            sitting.clock.time += timedelta(hours=1)
            rests.append(3600.0)
        return Choice.RIGHT

    rests: list[float] = []
    session = lead_one(Learner(step="tens-and-ones"), START, seed=1, minutes=5)
    sitting = led(prepare, session, Judges(says))
    sitting.table.rested = lambda: sum(rests)
    finished = sitting.play(minutes=5)
    assert 4 < finished.minutes < 5 + GRACE_MINUTES
    assert [answer.purpose for answer in sitting.answers].count("closing") == 3
    # The record has the time of day.
    (kept,) = sitting.record.sessions()
    assert kept.ended - kept.started > timedelta(hours=1)


def test_one_that_does_not_end_is_stopped_two_minutes_later(prepare):
    """A guide whose clock stands still, as where a machine slept."""
    session = lead_one(Learner(step="tens-and-ones"), START, seed=1, minutes=5)
    guide = session
    session.next_question, awake = lambda now: awake(START), session.next_question
    finished = led(prepare, guide).play(minutes=5)
    assert finished.why == "time"
    assert 5 + GRACE_MINUTES <= finished.minutes < 5 + GRACE_MINUTES + 1


def test_misses_in_a_row_end_it_early_and_the_parent_is_told_why(prepare):
    session = lead_one(Learner(step="tens-and-ones"), START, seed=1, minutes=10)
    sitting = led(prepare, session, Judges(lambda number: Choice.WRONG))
    finished = sitting.play(minutes=10)
    (share,) = finished.shares
    assert share.because.startswith("tiring") and share.met == "not asked"
    assert share.told.startswith("It ended early: several answers") and "not asked" in share.told
    assert sitting.record.sessions()[0].aim_met == "not asked"
    assert sitting.named("Note"), "why something comes next is told"


def test_a_parent_who_stops_leaves_the_aim_open(prepare):
    session = lead_one(Learner(step="teens"), START, seed=1, minutes=10)
    sitting = led(prepare, session, Judges(lambda n: Choice.STOP if n == 3 else Choice.RIGHT))
    finished = sitting.play(minutes=10)
    assert finished.why == "stopped" and len(sitting.answers) == 2
    assert sitting.record.sessions()[0].aim_met == "not asked"


def test_what_cannot_be_asked_is_passed_over(prepare):
    learner = Learner(step="tens-and-ones")
    session = lead_one(learner, START, seed=2, minutes=5)
    sitting = led(prepare, session)
    sitting.play(minutes=5)
    assert {answer.way for answer in sitting.answers} == {"spoken"}
    assert not {answer.activity for answer in sitting.answers} & {"build", "glimpse", "read-out", "which-more"}
    assert learner.answers == len(sitting.answers), "nothing is held against the child"


@pytest.fixture
def together(prepare):
    """Pip, at the teens, and Wren, at the hundreds, in one sitting."""

    def make(judges=None, minutes=5):
        learners = Learner(step="teens"), Learner(step="hundreds")
        guide = lead_turns(learners, START, seed=3, minutes=minutes)
        sitting = led(prepare, guide, judges)
        wren = sitting.record.add_child("Wren", at=START)
        other = sitting.record.start_session(wren, at=START, source="keys", seed=3, aim=guide.results()[1].aim.skill)
        sitting.table.seats = (*sitting.table.seats, Seat(wren, other, sitting.table.host))
        return sitting, guide

    return make


def test_children_take_turns_and_each_answer_goes_to_its_own_child(together):
    sitting, guide = together()
    finished = sitting.play(minutes=5)
    names = {child.id: child.name for child in sitting.record.children()}
    answers = sitting.record.answers()
    counts = Counter(names[answer.child] for answer in answers)
    assert abs(counts["Pip"] - counts["Wren"]) <= 3 and min(counts.values()) >= 5
    path = load_path()
    for answer in answers:
        furthest = "teens" if names[answer.child] == "Pip" else "hundreds"
        # A step more where the child went on from one that it has done.
        assert path.index(answer.step) <= path.index(furthest) + 1, answer.question
    sessions = {names[session.child]: session for session in sitting.record.sessions()}
    assert {answer.session for answer in answers if names[answer.child] == "Wren"} == {sessions["Wren"].id}
    assert all(session.ended and session.aim_met for session in sessions.values())
    assert [share.child for share in finished.shares] == ["Pip", "Wren"]
    assert sum(len(share.answers) for share in finished.shares) == len(finished.answers) == len(answers)
    assert [share.met for share in finished.shares] == [result.met for result in guide.results()]
    turns = [event.child for event in sitting.named("TurnOf")]
    assert turns[:2] == ["Pip", "Wren"] and all(one != other for one, other in itertools.pairwise(turns))


@pytest.mark.parametrize("true", ["teens", "hundreds"])
def test_a_placement_is_found_and_a_short_one_is_not(prepare, true):
    """A child who knows all before its place and nothing from there on."""
    path = load_path()

    def run(stop_after):
        search = lead_placement(Learner(step=path.slugs[0]), START, seed=5)

        def says(number):
            if number > stop_after:
                return Choice.STOP
            question = search.next_question(START)
            return Choice.RIGHT if path.index(question.step) < path.index(true) else Choice.WRONG

        sitting = led(prepare, search, Judges(says), fits=lambda whose, question: True)
        finished = sitting.play(minutes=5)
        return search, finished, sitting

    search, finished, sitting = run(99)
    assert search.found and abs(path.index(search.step) - path.index(true)) <= 1
    assert finished.minutes <= 5 + GRACE_MINUTES and finished.why != "stopped"
    assert {answer.purpose for answer in sitting.answers} == {"placement"}
    assert finished.shares[0].met == ""
    stopped, finished, _ = run(1)
    assert finished.why == "stopped" and not stopped.found


def test_recordings_past_their_days_go_at_the_start_of_a_sitting(prepare):
    sitting = led(prepare, lead_one(Learner(step="teens"), START, seed=1, minutes=1))
    record = sitting.record
    record.set_audio_days(record.child("Pip"), 7)
    sitting.play(minutes=1)
    answer = keep_sound(record, record.answers()[0], np.zeros(1600, dtype=np.float32))
    (file,) = folder(record).rglob("*.flac")
    for days, left in ((6, True), (8, False)):
        sitting.clock.time = START + timedelta(days=days)
        sitting.table.guide = lead_one(Learner(step="teens"), sitting.clock.time, seed=1, minutes=1)
        sitting.play(minutes=1)
        assert file.exists() == left
    assert next(one for one in record.answers() if one.id == answer.id).recording is None
