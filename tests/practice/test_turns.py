"""Two or three children in one sitting."""

from datetime import UTC, datetime, timedelta
from itertools import groupby, pairwise
from random import Random

import pytest

from sayit.numbers import name
from sayit.practice.guide import next_fitting
from sayit.practice.lead import lead_free
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.question import Response
from sayit.practice.turns import IN_A_ROW, lead_turns

NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)


def turns_of(steps, *, seed, minutes=12):
    return lead_turns([Learner(step=step) for step in steps], NOW, seed=seed, minutes=minutes)


def play(steps, chances, seed=0, minutes=12):
    """Play to the end; gives the guide, (child, question) in order, and how many of them all children were there for."""
    guide = turns_of(steps, seed=seed, minutes=minutes)
    random, now, turns, together = Random(seed), NOW, [], 0
    while (question := guide.next_question(now)) is not None:
        assert guide.next_question(now) is question
        if random.random() < chances[guide.whose]:
            answer = Response(verdict="right", response_seconds=1.5)
        else:
            # One too many: a miss with a reason, so that a detour follows.
            other = question.value + 1
            answer = Response(words=name(other), digits=str(other), choice=min(question.about), response_seconds=1.5)
        turns.append((guide.whose, question))
        guide.take(answer, now)
        if not any(own.over for own in guide.guides):
            together = len(turns)
        now += timedelta(seconds=8)
        assert len(turns) < 500
    return guide, turns, together


@pytest.mark.parametrize("steps", [("to-five", "hundreds"), ("to-five", "teens", "thousands")])
def test_turns_are_fair_and_each_child_stays_at_its_step(steps):
    for seed in range(10):
        guide, turns, together = play(steps, [0.85] * len(steps), seed)
        assert all(own.over for own in guide.guides)
        path = load_path()
        for child, question in turns:
            # Follow-ups may go back, or to a neighbour at the next step; nobody is asked what only another has reached.
            assert path.index(question.step) <= path.index(guide.guides[child].learner.step) + 1
        all_there = [child for child, _ in turns[:together]]
        counts = [all_there.count(child) for child in range(len(steps))]
        assert max(counts) - min(counts) <= IN_A_ROW, counts
        assert max(len(list(run)) for _, run in groupby(all_there)) <= IN_A_ROW


def test_a_detour_stays_with_the_child():
    _, turns, _ = play(("whole-tens", "whole-tens"), [0.5, 1.0], seed=3)
    kept = [
        question
        for (before, _), (child, question) in pairwise(turns)
        if child == before and question.purpose in ("follow-up", "again")
    ]
    assert kept


def test_a_tired_child_stops_and_the_other_goes_on():
    guide, turns, _ = play(("teens", "teens"), [0.0, 1.0], seed=1)
    assert guide.guides[0].because.startswith("tiring")
    assert {child for child, _ in turns[-10:]} == {1}
    first, second = guide.results()
    assert (first.because, first.met) == (guide.guides[0].because, "not asked")
    assert second.met == guide.guides[1].closing.met == "met"


def test_one_child_alone_is_a_sitting_too():
    guide, turns, _ = play(("teens",), [1.0])
    assert guide.guides[0].over and {child for child, _ in turns} == {0}


def test_again_gives_the_turn_back_and_counts_once():
    guide = turns_of(("teens", "teens"), seed=1)
    order = []
    for place in range(8):
        question = guide.next_question(NOW)
        order.append(guide.whose)
        guide.take(Response(verdict="right", response_seconds=1.0), NOW)
        if place % 2:
            # The next child's question may have been chosen and said already.
            guide.next_question(NOW)
            assert guide.override("again", NOW) is None
            assert guide.next_question(NOW) is question and guide.whose == order[-1]
            guide.take(Response(verdict="right", response_seconds=1.0), NOW)
    assert order == [0, 1] * 4


def test_an_unclear_answer_keeps_the_turn_even_after_three_questions():
    guide = turns_of(("teens", "hundreds"), seed=3)
    for _ in range(12):
        question, who = guide.next_question(NOW), guide.whose
        guide.take(Response(words=""), NOW)
        assert guide.next_question(NOW) is question and guide.whose == who
        guide.take(Response(verdict="right"), NOW)


@pytest.mark.parametrize("verdict", ["right", "wrong", "again", "skip"])
def test_an_unclear_answer_can_be_corrected(verdict):
    guide = turns_of(("teens", "hundreds"), seed=3)
    question, who = guide.next_question(NOW), guide.whose
    guide.take(Response(words=""), NOW)
    outcome = guide.override(verdict, NOW)
    assert (outcome.judgement.verdict if outcome else None) == (verdict if verdict in ("right", "wrong") else None)
    if verdict == "again":
        assert guide.next_question(NOW) is question and guide.whose == who
    else:
        assert guide.next_question(NOW) is not question


def test_a_correction_reaches_the_child_who_answered():
    guide = turns_of(("teens", "hundreds"), seed=3)
    assert guide.override("right", NOW) is None, "there is nothing to correct"
    first, who = guide.next_question(NOW), guide.whose
    guide.take(Response(verdict="wrong"), NOW)
    second = guide.next_question(NOW)
    learner = guide.guides[who].learner
    assert learner.skills[first.skill].right == 0
    guide.override("right", NOW)
    assert learner.skills[first.skill].right == 1
    assert guide.next_question(NOW) is second or guide.whose == who
    with pytest.raises(ValueError, match="no correction"):
        guide.override("perhaps", NOW)


def test_what_cannot_be_asked_costs_no_child_its_turn():
    """One child is asked in the everyday form only, the other in both."""

    passed = []

    def fits(whose, question):
        if whose == 0 and question.form == "explicit":
            passed.append(question)
        return whose == 1 or question.form != "explicit"

    asked = [0, 0]
    for seed in range(10):
        guide = turns_of(("tens-and-ones", "tens-and-ones"), seed=seed)
        for _ in range(30):
            question = next_fitting(guide, NOW, fits)
            assert fits(guide.whose, question)
            asked[guide.whose] += 1
            guide.take(Response(verdict="right", response_seconds=1.0), NOW)
    assert passed and asked[0] == asked[1]


def test_where_nothing_fits_there_is_no_question():
    guide = turns_of(("teens", "teens"), seed=1)
    assert next_fitting(guide, NOW, lambda whose, question: False) is None


def test_skip_passes_the_turn_on():
    guide = turns_of(("teens", "teens"), seed=1)
    guide.next_question(NOW)
    guide.skip(NOW)
    assert guide.next_question(NOW) and guide.whose == 1


def test_free_practice_passes_the_turn_after_each_question_until_the_time_is_up():
    guide = lead_free([("plain",)] * 3, NOW, seed=1, minutes=5, low=11, high=99, activities=("say-back",))
    order = []
    for verdict in ("right", "wrong", "right", "right"):
        assert guide.next_question(NOW) is guide.next_question(NOW)
        order.append(guide.whose)
        guide.take(Response(verdict=verdict), NOW)
    assert order == [0, 1, 2, 0]
    # What was not clear stays with the child; "again" gives the turn back, "skip" passes it on.
    question = guide.next_question(NOW)
    assert guide.take(Response(words=""), NOW).level == "unclear"
    assert guide.next_question(NOW) is question and guide.whose == 1
    guide.take(Response(verdict="right"), NOW)
    guide.next_question(NOW)
    guide.override("again", NOW)
    assert guide.next_question(NOW) is question and guide.whose == 1
    guide.skip(NOW)
    guide.next_question(NOW)
    assert guide.whose == 2
    late = NOW + timedelta(minutes=6)
    guide.take(Response(words=""), late)
    assert guide.next_question(late), "a question that is open is settled"
    guide.skip(late)
    assert guide.next_question(late) is None and guide.results() == ()


def test_too_many_or_no_children_are_refused():
    for count in (0, 4):
        with pytest.raises(ValueError, match="1 to 3"):
            turns_of(("teens",) * count, seed=1)
