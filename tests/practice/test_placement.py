"""Five minutes of asking find the place."""

from collections import Counter
from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.placement import MINUTES, MOST_QUESTIONS, start_placement
from sayit.practice.question import Response

PATH = load_path()
NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)


def place(true: int, seed: int, *, each: float = 9.0):
    """A child who is right with 95 % before its place, 40 % at it, 10 % past it (invented)."""
    random = Random(f"child {seed}")
    learner = Learner(step=PATH.slugs[0])
    placement = start_placement(learner, NOW, seed=seed)
    now, levels = NOW, []
    while (question := placement.next_question(now)) is not None:
        at = PATH.index(question.step)
        chance = 0.95 if at < true else 0.4 if at == true else 0.1
        verdict = "right" if random.random() < chance else "wrong"
        levels.append(placement.take(Response(verdict=verdict, response_seconds=2.0), now).level)
        now += timedelta(seconds=each)
    return placement, learner, now, levels


@pytest.mark.parametrize("true", range(len(PATH)))
def test_the_place_is_found_within_five_minutes(true):
    off = Counter()
    for seed in range(15):
        placement, learner, now, _ = place(true, seed)
        # Two more questions may follow the five minutes, so that it ends well.
        assert now - NOW <= timedelta(minutes=MINUTES, seconds=3 * 9)
        assert placement.asked <= MOST_QUESTIONS + 2
        step = placement.finish()
        assert learner.step == step
        off[abs(PATH.index(step) - true)] += 1
    assert off[0] >= 11 and sum(count for by, count in off.items() if by > 1) <= 1, off


def test_it_asks_less_than_going_through_the_steps():
    asked = [place(true, seed)[0].asked for true in range(len(PATH)) for seed in range(5)]
    # Three questions at each step up to the place would be about 20 in the mean.
    assert sum(asked) / len(asked) < 14


def test_never_many_misses_in_a_row_and_a_success_at_the_end():
    ends = []
    for true in range(len(PATH)):
        for seed in range(10):
            levels = place(true, seed)[3]
            runs = "".join("x" if level == "missed" else "." for level in levels).split(".")
            if true > 1:
                assert max(map(len, runs)) <= 5
            ends.append(levels[-1] != "missed")
    assert sum(ends) >= 0.9 * len(ends)


def test_the_answers_of_the_placement_count():
    placement, learner, *_ = place(5, 1)
    assert learner.answers == 0
    placement.finish()
    assert learner.answers == placement.asked


def test_it_is_the_same_again():
    one, other = place(6, 3)[0], place(6, 3)[0]
    assert (one.belief, one.asked) == (other.belief, other.asked)


def test_slow_children_run_out_of_time_and_get_the_best_guess():
    placement, _, now, _ = place(5, 2, each=100.0)
    assert now - NOW <= timedelta(minutes=MINUTES, seconds=300)
    assert placement.step in PATH.slugs and 0 < placement.sure < 1


def test_a_correction_an_unclear_answer_and_a_skip():
    learner = Learner(step="teens")
    placement = start_placement(learner, NOW, seed=1)
    question = placement.next_question(NOW)
    before = list(placement.belief)
    assert placement.take(Response(words="", response_seconds=1.0), NOW).level == "unclear"
    assert placement.next_question(NOW) is question and placement.belief == before
    placement.take(Response(verdict="wrong"), NOW)
    wrong = list(placement.belief)
    placement.override("right", NOW)
    assert placement.belief != wrong
    placement.override("wrong", NOW)
    assert placement.belief == wrong
    placement.override("again", NOW)
    assert placement.next_question(NOW) is question and placement.belief == before
    placement.skip(NOW)
    assert placement.next_question(NOW) is not question
    with pytest.raises(ValueError, match="no correction"):
        placement.override("perhaps", NOW)
