"""Putting a child at a step."""

from datetime import UTC, datetime, timedelta

import pytest

from sayit.errors import SayitError
from sayit.practice.folding import fold
from sayit.practice.learner import Learner, Past, past_of
from sayit.practice.path import load_path
from sayit.practice.placing import go_to, look, settle, tomorrow, way_back

NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)
PATH = load_path()


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


def sitting(learner, day, right, step="hundreds", many=10):
    for turn in range(many):
        verdict = "right" if turn < right else "wrong"
        key = f"{step}/read-out:plain/{345 + turn if step == 'hundreds' else 12}"
        fold(learner, Past(NOW + timedelta(days=day, minutes=turn), key, verdict, (), 1.5))


def test_after_two_hard_sittings_it_goes_back_to_where_things_succeed():
    learner = Learner(step="hundreds")
    sitting(learner, 0, 10, "teens", 4)
    sitting(learner, 1, 2)
    look(learner, (NOW + timedelta(days=2)).timestamp())
    assert learner.step == "hundreds" and not way_back(learner), "one hard sitting is no reason"
    sitting(learner, 2, 3)
    ahead = tomorrow(learner, (NOW + timedelta(days=3)).timestamp())
    assert (learner.step, ahead.step) == ("hundreds", "teens"), "tomorrow's plan knows it, today is not over yet"
    look(learner, (NOW + timedelta(days=3)).timestamp())
    assert learner == ahead
    assert way_back(learner) == (
        "“Hundreds” was too hard just now, so we go on at “Teens: one ten and some”, where things go well. "
        "“Whole tens” comes next, and so step by step back to “Hundreds”."
    )
    settle(learner, "hundreds", None, 1.0, ())
    assert way_back(learner) == "" and learner.effort.hard == 0, "a parent's choice begins anew"


def test_where_nothing_is_known_to_succeed_it_goes_half_way_back():
    learner = Learner(step="hundreds")
    sitting(learner, 0, 0)
    sitting(learner, 1, 0)
    look(learner, (NOW + timedelta(days=2)).timestamp())
    assert learner.step == PATH.slugs[PATH.index("hundreds") // 2]


def test_a_good_sitting_between_two_hard_ones_and_answers_ahead_of_the_child_count_for_it():
    learner = Learner(step="hundreds")
    for day, right in enumerate((2, 9, 2, 9)):
        sitting(learner, day, right)
    look(learner, (NOW + timedelta(days=9)).timestamp())
    assert learner.step == "hundreds"
    one_sitting_ahead = Learner(step="teens")
    for day in range(3):
        sitting(one_sitting_ahead, day, 0)
    look(one_sitting_ahead, (NOW + timedelta(days=9)).timestamp())
    assert one_sitting_ahead.step == "teens", "what a parent tried further on says nothing of the child's own step"


def test_what_counts_of_an_answer_after_the_parents_word():
    def counted(verdict, override):
        return past_of(NOW, "teens/build:plain/13", verdict, override, ("lost-zero",), 1.5)

    assert counted("wrong", None) == Past(NOW, "teens/build:plain/13", "wrong", ("lost-zero",), 1.5)
    assert counted("wrong", "wrong").reasons == ("lost-zero",)
    assert (counted("wrong", "right").verdict, counted("wrong", "right").reasons) == ("right", ())
    assert counted("wrong", "again") is None and counted("right", "skip") is None
