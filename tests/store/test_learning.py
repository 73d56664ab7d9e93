"""A learner built from the record is the learner that lived through it."""

from datetime import timedelta
from random import Random

import pytest

from sayit.practice.activities import asks, make_question, number_for
from sayit.practice.folding import fold
from sayit.practice.learner import Learner, Past
from sayit.practice.path import load_path
from sayit.store.learning import keep_learner_state, learner_of, learner_state, past
from tests.store.conftest import NOON


def answers(make_answer, count, start=0, steps=("teens", "whole-tens")):
    random, path = Random(start), load_path()
    for number in range(start, start + count):
        step = path[random.choice(steps)]
        ask = random.choice(asks(step))
        question = make_question(step, ask, number_for(step, ask, random), random)
        right = random.random() < 0.7
        yield make_answer(
            question=question.key,
            step=question.step,
            activity=question.activity,
            asked=question.value,
            form=question.form,
            verdict="right" if right else "wrong",
            reasons=() if right else ("teen-ty-swap",),
            response_seconds=1.0 + random.random(),
            judged_at=NOON + timedelta(minutes=number),
        )


@pytest.fixture
def pip(record, session):
    child = record.child("Pip")
    record.place(child, "teens", at=NOON - timedelta(days=1))
    return child


def test_it_is_the_learner_that_lived_through_it(record, pip, make_answer):
    lived = Learner(step="teens")
    for answer in answers(make_answer, 150):
        record.keep(answer)
        fold(lived, Past(answer.judged_at, answer.question, answer.verdict, answer.reasons, answer.response_seconds))
    assert learner_of(record, pip).to_dict() == lived.to_dict()


def test_going_on_from_a_kept_learner_changes_nothing(record, pip, make_answer):
    record.keep_all(answers(make_answer, 250))
    learner_of(record, pip)
    assert learner_state(record, pip) is not None
    record.keep_all(answers(make_answer, 60, start=250))
    gone_on = learner_of(record, pip).to_dict()
    record._connection.execute("DELETE FROM learner")
    assert learner_of(record, pip).to_dict() == gone_on


def test_a_correction_of_an_old_answer_reaches_a_kept_learner(record, pip, make_answer):
    record.keep_all(answers(make_answer, 200))
    before = learner_of(record, pip).to_dict()
    wrong = next(answer for answer in record.answers() if answer.verdict == "wrong")
    record.override(wrong, "right", at=NOON + timedelta(days=1))
    after = learner_of(record, pip).to_dict()
    assert after != before
    record.override(wrong, None, at=NOON + timedelta(days=1))
    assert learner_of(record, pip).to_dict() == before


def test_a_kept_learner_of_another_make_is_built_anew(record, pip, make_answer):
    record.keep_all(answers(make_answer, 120))
    right = learner_of(record, pip).to_dict()
    for state in ({"version": 99}, {}, right | {"version": 0}, {"version": 1, "step": "teens"}):
        keep_learner_state(record, pip, state, 10**6, 1)
        assert learner_of(record, pip, keep=False).to_dict() == right


def test_a_placement_holds_from_its_moment_on(record, pip, make_answer):
    record.keep_all(answers(make_answer, 40))
    record.place(pip, "hundreds", at=NOON + timedelta(minutes=20, seconds=30), pace=1.5, skipped=("ten-tens",))
    learner = learner_of(record, pip)
    assert (learner.step, learner.pace, learner.skipped) == ("hundreds", 1.5, ("ten-tens",))
    assert learner.answers == 40
    record.place(pip, "beyond", at=NOON + timedelta(days=1), limit=20_000)
    assert learner_of(record, pip).step == "beyond"
    record.place(pip, "beyond", at=NOON + timedelta(days=2), limit=100)
    assert learner_of(record, pip).step == load_path(100).slugs[-1]


def test_set_aside_and_foreign_answers_do_not_count(record, pip, make_answer):
    kept = record.keep(next(answers(make_answer, 1)))
    record.override(kept, "skip", at=NOON)
    record.keep(make_answer(question="free/say-back:explicit/45"))
    record.keep(make_answer(question="nonsense"))
    assert learner_of(record, pip).answers == 0


def test_a_parents_verdict_takes_the_reasons_along(record, make_answer):
    kept = record.keep(make_answer(reasons=("digits-swapped",), response_seconds=1.5))
    assert past(kept) == Past(kept.judged_at, kept.question, "wrong", ("digits-swapped",), 1.5)
    assert past(record.override(kept, "right", at=NOON)).reasons == ()
    assert past(record.override(kept, "again", at=NOON)) is None


def test_placements_and_aims_come_back(record, session):
    pip = record.child("Pip")
    placed = record.place(pip, "teens", at=NOON, limit=100, pace=1.25, skipped=("whole-tens",))
    assert record.placements(pip) == (placed,)
    later = record.start_session(pip, at=NOON, source="keys", seed=1, aim="teens/build:plain")
    ended = record.end_session(later, at=NOON, aim_met="met")
    assert record.sessions(pip)[-1] == ended
    assert (ended.aim, ended.aim_met) == ("teens/build:plain", "met")


def test_a_step_done_before_can_be_repeated(record, make_answer):
    """Put back at it, the child does it again: the next right answer alone does not end it."""
    path, child = load_path(), record.child("Pip")
    record.place(child, "pairs-to-ten", at=NOON - timedelta(days=1))

    def give(count, start):
        for number in range(start, start + count):
            asked = 1 + number % 9
            question = make_question(path["pairs-to-ten"], "to-ten", asked, Random(1))
            record.keep(
                make_answer(
                    question=question.key,
                    step=question.step,
                    activity=question.activity,
                    asked=question.value,
                    form="any",
                    verdict="right",
                    reasons=(),
                    response_seconds=0.8,
                    judged_at=NOON + timedelta(minutes=number),
                )
            )

    give(30, 0)
    assert learner_of(record, child).step == "teens"
    record.place(child, "pairs-to-ten", at=NOON + timedelta(minutes=29, seconds=30))
    give(2, 30)
    assert learner_of(record, child).step == "pairs-to-ten"
    give(10, 32)
    assert learner_of(record, child).step == "teens"


def test_a_change_of_pace_does_not_begin_the_step_again(record, pip, make_answer):
    for answer in answers(make_answer, 60, steps=("teens",)):
        record.keep(answer)
    before = learner_of(record, pip)
    record.place(pip, before.step, at=NOON + timedelta(days=1), pace=1.5)
    after = learner_of(record, pip)
    assert after.pace == 1.5 and {name: skill.seen for name, skill in after.skills.items()} == {
        name: skill.seen for name, skill in before.skills.items()
    }
