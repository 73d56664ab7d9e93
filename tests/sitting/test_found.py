"""What the search for a place found: told in a sentence, and settled so that its own answers count there."""

from datetime import timedelta

import pytest

from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.placement import easy_start, lead_placement
from sayit.sitting.found import found_by, settle
from sayit.sitting.setup import _guide
from sayit.sitting.wishes import Wishes
from sayit.store import open_record
from sayit.store.learning import learner_of
from tests.sitting.conftest import START
from tests.sitting.test_planned import Choice, Judges, led


def searched(prepare, right, stop_after=99):
    choice = Choice.RIGHT if right else Choice.WRONG
    judges = Judges(lambda number: choice if number <= stop_after else Choice.STOP)
    guide = lead_placement(Learner(step=load_path().slugs[0], pace=1.5), START, seed=1)
    # What is shown for a moment is read out by the parent first, who would be taken to judge.
    sitting = led(
        prepare, guide, judges, step=0.5, fits=lambda whose, question: not (question.show and question.show.seconds)
    )
    sitting.play(minutes=5)
    return sitting, found_by(sitting.table)


def test_nothing_is_known_where_nothing_was_answered(prepare):
    _, found = searched(prepare, True, stop_after=0)
    assert "Nothing was answered" in found.sentence and not found.sure


def test_one_answer_is_not_enough(prepare):
    _, found = searched(prepare, True, stop_after=1)
    assert "not sure after 1 answer;" in found.sentence and not found.sure


@pytest.mark.parametrize("right", [True, False])
def test_a_place_that_is_sure_is_told_and_settled(prepare, right):
    sitting, found = searched(prepare, right)
    assert found.sure
    assert found.title == load_path().steps[-1 if right else 0].title
    assert found.title in found.sentence and f"{len(sitting.answers)} answers" in found.sentence
    # Settled the day after, it still holds from the first answer of the search on.
    sitting.clock.time = START + timedelta(days=1)
    placed = settle(sitting.record, found)
    first = sitting.answers[0]
    assert placed.at <= first.judged_at and (placed.limit, placed.pace) == (None, 1.0)
    learner = learner_of(sitting.record, sitting.record.child("Pip"))
    assert learner.step == found.step
    # As it would be had the place been known before: every answer counts at it.
    assert learner.answers == len(sitting.answers)


def test_a_sitting_without_a_search_finds_nothing(prepare):
    sitting = prepare([(45, "plain")], ears=False, press={"ParentNeeded": [Choice.RIGHT]})
    sitting.play()
    assert found_by(sitting.table) is None


def test_it_begins_where_the_child_counts_to(tmp_path):
    with open_record(tmp_path / "record.sqlite3") as record:
        child = record.set_counts_to(record.add_child("Pip", at=START), 40)
        for wanted, step in ((None, easy_start(40, None)), (100, easy_start(100, None))):
            guide = _guide(record, [child], Wishes(placing=True, counts_to=wanted), [child.forms], START, seed=1)
            assert step and guide.next_question(START).step == step
