"""Putting a child at a step."""

from datetime import UTC, datetime, timedelta

import pytest

from sayit.errors import SayitError
from sayit.practice.learner import Learner, Past, fold, past_of
from sayit.practice.path import load_path
from sayit.practice.placing import go_to, settle

NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)


def one_who_made_pairs() -> Learner:
    learner = Learner(step="pairs-to-ten")
    for count in range(30):
        key = f"pairs-to-ten/to-ten/{1 + count % 9}"
        fold(learner, Past(NOW + timedelta(minutes=count), key, "right", (), 0.8))
    assert learner.step == "teens"
    return learner


def test_a_step_done_before_is_done_again():
    learner = one_who_made_pairs()
    go_to(learner, "pairs-to-ten")
    fold(learner, Past(NOW + timedelta(hours=1), "pairs-to-ten/to-ten/3", "right", (), 0.8))
    assert learner.step == "pairs-to-ten"


def test_where_the_child_is_already_nothing_begins_again():
    learner = one_who_made_pairs()
    learner.step = "pairs-to-ten"
    before = learner.to_dict()
    go_to(learner, "pairs-to-ten")
    assert learner.to_dict() == before


def test_an_unknown_step_is_told():
    with pytest.raises(SayitError, match="no step 'nowhere'"):
        go_to(Learner(step="teens"), "nowhere")


def test_limit_pace_and_skipped_steps_hold_from_then_on():
    learner = Learner(step="teens")
    settle(learner, "hundreds", None, 1.5, ("ten-tens",))
    assert (learner.step, learner.limit, learner.pace, learner.skipped) == ("hundreds", None, 1.5, ("ten-tens",))
    settle(learner, "beyond", 20, 1.0, ())
    assert learner.step == load_path(20).slugs[-1], "a step past the limit is left for the last one before it"
    settle(learner, "beyond", 100, 1.0, ())
    assert learner.step == load_path(20).slugs[-1], "an unknown step leaves the child where it is"


def test_what_counts_of_an_answer_after_the_parents_word():
    def counted(verdict, override):
        return past_of(NOW, "teens/build:plain/13", verdict, override, ("lost-zero",), 1.5)

    assert counted("wrong", None) == Past(NOW, "teens/build:plain/13", "wrong", ("lost-zero",), 1.5)
    assert counted("wrong", "wrong").reasons == ("lost-zero",)
    assert (counted("wrong", "right").verdict, counted("wrong", "right").reasons) == ("right", ())
    assert counted("wrong", "again") is None and counted("right", "skip") is None
