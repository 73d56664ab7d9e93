"""Five minutes of asking find the place."""

from collections import Counter
from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from sayit.practice.guide import next_fitting
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.placement import MINUTES, MOST_QUESTIONS, easy_start, lead_placement, placed
from sayit.practice.question import Response

PATH = load_path()
NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)


def place(true: int, seed: int, *, each: float = 9.0):
    """A child who is right with 95 % before its place, 40 % at it, 10 % past it (invented)."""
    random = Random(f"child {seed}")
    learner = Learner(step=PATH.slugs[0])
    placement = lead_placement(learner, NOW, seed=seed)
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
        placement, _, now, _ = place(true, seed)
        # Two more questions may follow the five minutes, so that it ends well.
        assert now - NOW <= timedelta(minutes=MINUTES, seconds=3 * 9)
        assert placement.asked <= MOST_QUESTIONS + 2
        assert placement.found
        off[abs(PATH.index(placement.step) - true)] += 1
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


def test_the_learner_stays_as_it_is_until_the_place_is_written():
    placement, learner, _, levels = place(5, 1)
    assert learner == Learner(step=PATH.slugs[0])
    assert placement.answers == placement.asked == len(levels)
    assert placement.results() == () and placement.whose == 0


def test_the_place_that_was_found_is_no_longer_skipped():
    learner = Learner(step="teens", skipped=("pairs-to-ten", "to-five"))
    placement = lead_placement(learner, NOW, seed=1)
    assert not placement.found, "nothing was asked"
    while placement.next_question(NOW):
        placement.take(Response(verdict="wrong", response_seconds=2.0), NOW)
    assert placement.found
    assert placed(placement) == ("to-five", ("pairs-to-ten",))
    assert learner.skipped == ("pairs-to-ten", "to-five")


def test_a_place_that_the_time_ran_out_on_counts_where_it_is_likelier_than_all_others():
    ended = [place(5, seed, each=60.0)[0] for seed in range(40)]
    assert {placement.found for placement in ended} == {True, False}
    for placement in ended:
        assert placement.found == (placement.sure >= 0.5)


def test_what_is_passed_over_does_not_use_up_its_questions():
    placement = lead_placement(Learner(step="to-five"), NOW, seed=5)
    passed = []

    def fits(whose, question):
        if question.way != "spoken" or question.show:
            passed.append(question)
        return question.way == "spoken" and not question.show

    for count in range(1, 11):
        question = next_fitting(placement, NOW, fits)
        assert question.way == "spoken" and placement.asked == count
        placement.take(Response(verdict="right" if count % 2 else "wrong"), NOW)
    assert passed, "something had to be passed over"


def test_it_is_the_same_again():
    one, other = place(6, 3)[0], place(6, 3)[0]
    assert (one.belief, one.asked) == (other.belief, other.asked)


def test_slow_children_run_out_of_time_and_get_the_best_guess():
    placement, _, now, _ = place(5, 2, each=100.0)
    assert now - NOW <= timedelta(minutes=MINUTES, seconds=300)
    assert placement.step in PATH.slugs and 0 < placement.sure < 1


def test_a_correction_an_unclear_answer_and_a_skip():
    learner = Learner(step="teens")
    placement = lead_placement(learner, NOW, seed=1)
    assert placement.override("right", NOW) is None, "there is nothing to correct"
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


@pytest.mark.parametrize(
    ("counts_to", "years", "first"),
    [
        (None, None, "to-five"), (5, None, "to-five"), (12, 9.0, "five-and-some"), (20, None, "pairs-to-ten"),
        (50, None, "teens"), (100, 5.0, "tens-and-ones"), (2_000, None, "hundreds"), (None, 4.8, "to-five"),
        (None, 6.2, "pairs-to-ten"), (None, 7.5, "teens"),
    ],
)  # fmt: skip
def test_it_begins_easily_and_climbs_from_what_was_right(counts_to, years, first):
    for seed in range(8):
        placement = lead_placement(Learner(step="to-five"), NOW, seed=seed, start=easy_start(counts_to, years))
        highest = PATH.index(first)
        while question := placement.next_question(NOW):
            assert PATH.index(question.step) <= highest, question.key
            right = placement.asked % 3 > 0
            placement.take(Response(verdict="right" if right else "wrong", response_seconds=1.0), NOW)
            highest = max(highest, PATH.index(question.step) + 3) if right else highest


def test_a_start_past_the_limit_begins_at_the_first_step():
    assert (
        lead_placement(Learner(step="to-five", limit=20), NOW, seed=1, start="hundreds").next_question(NOW).step
        == "to-five"
    )
