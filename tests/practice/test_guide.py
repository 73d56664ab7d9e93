"""What all guides have in common."""

from datetime import UTC, datetime, timedelta

import pytest

from sayit.numbers import name
from sayit.practice.guide import CORRECTIONS, met_in_words, next_fitting
from sayit.practice.lead import lead_by_plan, lead_free
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.question import Response
from sayit.practice.session import lead_one
from tests.practice.test_session import play, right

NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)


def learners(count):
    return [Learner(step="teens") for _ in range(count)]


GUIDES = {
    "plan": lambda: lead_by_plan(learners(1), NOW, seed=1, minutes=10),
    "turns": lambda: lead_by_plan(learners(3), NOW, seed=1, minutes=10),
    "placement": lambda: lead_by_plan(learners(2), NOW, seed=1, minutes=5, looking=True),
    "free": lambda: lead_free([("plain",)], NOW, seed=1, minutes=10),
    "free turns": lambda: lead_free([("plain",), ("explicit",)], NOW, seed=1, minutes=10),
}
ENDS_ITSELF = {"plan", "turns", "placement", "free turns"}
AIMS = {"plan": 1, "turns": 3}


@pytest.fixture(params=GUIDES)
def kind(request):
    return request.param


@pytest.fixture
def guide(kind):
    return GUIDES[kind]()


def test_whose_turn_it_is_and_what_it_is_for(kind, guide):
    assert guide.whose == 0
    assert guide.ends_itself == (kind in ENDS_ITSELF)
    assert len(guide.results()) == AIMS.get(kind, 0)
    for result in guide.results():
        assert (result.met, result.because) == ("not asked", "") and result.aim.step == "teens"


def test_asked_twice_without_an_answer_it_says_the_same(guide):
    for _ in range(5):
        question = guide.next_question(NOW)
        assert guide.next_question(NOW + timedelta(minutes=1)) is question
        outcome = guide.take(right(question), NOW)
        assert outcome.question is question and outcome.judgement.verdict == "right"
        assert guide.next_question(NOW) is not question


def test_a_correction_where_there_is_nothing_to_correct_changes_nothing(guide):
    question = guide.next_question(NOW)
    for verdict in CORRECTIONS:
        assert guide.override(verdict, NOW) is None
        assert guide.next_question(NOW) is question
    with pytest.raises(ValueError, match="right, wrong, again or skip"):
        guide.override("perhaps", NOW)


@pytest.mark.parametrize("verdict", CORRECTIONS)
def test_an_answer_can_be_corrected_however_often(guide, verdict):
    question, who = guide.next_question(NOW), guide.whose
    guide.take(Response(verdict="wrong"), NOW)
    guide.next_question(NOW)
    for before in CORRECTIONS:
        guide.override(before, NOW)
        outcome = guide.override(verdict, NOW)
        assert (outcome and outcome.judgement.verdict) == (verdict if verdict in ("right", "wrong") else None)
    if verdict == "again":
        assert guide.next_question(NOW) is question and guide.whose == who
    else:
        assert guide.next_question(NOW) is not question


def test_skipped_or_passed_over_a_question_is_gone(guide):
    for leave in (guide.skip, guide.pass_over, guide.skip):
        question = guide.next_question(NOW)
        leave(NOW)
        assert guide.next_question(NOW) is not question
    guide.skip(NOW)
    with pytest.raises(ValueError, match="next_question"):
        guide.take(Response(words="one"), NOW)


def test_only_what_fits_is_asked(guide):
    for _ in range(10):
        question = next_fitting(guide, NOW, lambda whose, question: question.value % 2 == 0)
        if question is None:
            return
        assert question.value % 2 == 0
        guide.take(right(question), NOW)


def test_passing_over_ends_some_time(guide):
    seen = []
    assert next_fitting(guide, NOW, lambda whose, question: bool(seen.append(question))) is None
    assert 1 < len(seen) <= 40


def test_what_is_passed_over_does_not_count_as_asked():
    guide = lead_one(Learner(step="tens-and-ones"), NOW, seed=2)
    for count in range(1, 20):
        question = next_fitting(guide, NOW, lambda whose, question: question.way == "spoken" and question.show is None)
        assert question.way == "spoken" and guide.asked == count
        guide.take(Response(words=name(question.value), response_seconds=1.0), NOW)


def test_the_aim_and_how_it_was_met_are_told_by_the_result():
    guide = lead_one(Learner(step="whole-tens"), NOW, seed=4, minutes=5)
    play(guide, lambda question, place: right(question))
    (result,) = guide.results()
    assert (result.aim, result.met, result.because) == (guide.aim, guide.closing.met, guide.because)
    assert (result.met, result.because) == ("met", "the time is up")


def test_how_an_aim_was_met_is_told_in_a_sentence():
    told = [met_in_words(met) for met in ("met", "nearly", "not yet", "not asked")]
    assert len(set(told)) == 4 and all(sentence.endswith(".") for sentence in told)


def test_one_several_or_a_search():
    path = load_path()
    alone = lead_by_plan([Learner(step="teens")], NOW, seed=3, minutes=10)
    same = lead_one(Learner(step="teens"), NOW, seed=3, minutes=10)
    assert alone.next_question(NOW) == same.next_question(NOW)
    together = lead_by_plan([Learner(step=path.slugs[0]), Learner(step="teens")], NOW, seed=2, minutes=10)
    assert together.next_question(NOW) and [result.aim.step for result in together.results()] == ["to-five", "teens"]
    search = lead_by_plan([Learner(step="teens")], NOW, seed=3, minutes=5, looking=True)
    assert search.next_question(NOW).purpose == "placement"
