"""Two or three children in one sitting."""

import itertools
from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from sayit.numbers import name
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.question import Response
from sayit.practice.turns import IN_A_ROW, start_sitting

NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)


def play(steps, chances, seed=0, minutes=12):
    learners = [Learner(step=step) for step in steps]
    sitting = start_sitting(learners, NOW, seed=seed, minutes=minutes)
    random, now, turns, together = Random(seed), NOW, [], 0
    while (turn := sitting.next_turn(now)) is not None:
        assert sitting.next_turn(now) is turn
        question = turn.question
        if random.random() < chances[turn.child]:
            answer = Response(verdict="right", response_seconds=1.5)
        else:
            # One too many: a miss with a reason, so that a detour follows.
            other = question.value + 1
            answer = Response(words=name(other), digits=str(other), choice=min(question.about), response_seconds=1.5)
        sitting.take(answer, now)
        turns.append(turn)
        if not any(session.over for session in sitting.sessions):
            together = len(turns)
        now += timedelta(seconds=8)
        assert len(turns) < 500
    return learners, sitting, turns, together


@pytest.mark.parametrize("steps", [("to-five", "hundreds"), ("to-five", "teens", "thousands")])
def test_turns_are_fair_and_each_child_stays_at_its_step(steps):
    for seed in range(10):
        _, sitting, turns, together = play(steps, [0.85] * len(steps), seed)
        assert sitting.over
        path = load_path()
        for turn in turns:
            # Follow-ups may go back; nobody is asked what only another child has reached.
            assert path.index(turn.question.step) <= path.index(steps[turn.child]) + 2
        both = turns[:together]
        counts = [sum(turn.child == child for turn in both) for child in range(len(steps))]
        assert max(counts) - min(counts) <= IN_A_ROW, counts
        run = longest = 0
        last = None
        for turn in both:
            run = run + 1 if turn.child == last else 1
            last, longest = turn.child, max(longest, run)
            assert turn.passed == (run == 1)
        assert longest <= IN_A_ROW


def test_a_detour_stays_with_the_child():
    _, _, turns, _ = play(("whole-tens", "whole-tens"), [0.5, 1.0], seed=3)
    detours = ("follow-up", "again")
    kept = [
        turn
        for before, turn in itertools.pairwise(turns)
        if turn.child == before.child and turn.question.purpose in detours
    ]
    assert kept


def test_a_tired_child_stops_and_the_other_goes_on():
    _, sitting, turns, _ = play(("teens", "teens"), [0.0, 1.0], seed=1)
    assert sitting.sessions[0].because.startswith("tiring")
    tail = turns[-10:]
    assert all(turn.child == 1 for turn in tail)
    assert sitting.sessions[1].closing.met == "met"


def test_one_child_alone_is_a_sitting_too():
    _, sitting, turns, _ = play(("teens",), [1.0])
    assert sitting.over and {turn.child for turn in turns} == {0}


def test_again_gives_the_turn_back():
    sitting = start_sitting([Learner(step="teens"), Learner(step="teens")], NOW, seed=1)
    first = sitting.next_turn(NOW)
    sitting.take(Response(verdict="wrong"), NOW)
    sitting.next_turn(NOW)
    sitting.override("again", NOW)
    again = sitting.next_turn(NOW)
    assert (again.child, again.question) == (first.child, first.question)


def test_too_many_or_no_children_are_refused():
    for count in (0, 4):
        with pytest.raises(ValueError, match="1 to 3"):
            start_sitting([Learner(step="teens")] * count, NOW, seed=1)
