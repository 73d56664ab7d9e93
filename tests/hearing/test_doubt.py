"""Before a child is told that it was wrong: may the number asked for have been said after all?"""

import math

import pytest

from sayit.hearing.doubt import margin, may_be, phrases_for


def test_the_margin_is_in_nats_between_the_best_phrase_and_the_asked_number():
    scores = {"five nine three four": -10.0, "one nine three four": -14.5, "": -3.0}
    assert margin(scores, 1934) == pytest.approx(4.5)
    assert margin(scores, 5934) == 0
    assert margin(scores, 77) == math.inf and margin({}, 77) == math.inf


def test_either_form_and_a_correction_count_as_the_number():
    assert margin({"fifty four": -1.0, "four ten five": -3.0, "forty five": -8.0}, 45) == pytest.approx(2)
    assert margin({"fifty four": -1.0, "fifty four no forty five": -2.5}, 45) == pytest.approx(1.5)


def test_near_means_asking_again_and_far_means_judging():
    assert may_be({"five six": -1.0, "nine six": -13.5}, 96)
    assert not may_be({"five six": -1.0, "nine six": -14.5}, 96)
    assert not may_be({"five six": -1.0}, 96) and not may_be({"": -1.0}, 96) and not may_be({}, 96)


def test_what_is_left_of_a_longer_number_lies_closer():
    """Other speech may stand beside a number, so a word of it can always be taken for such."""
    longer = {"one hundred forty five": -1.0, "forty five": -5.5, "one hundred": -7.5, "one hundred five": -9.0}
    assert may_be(longer, 45) and not may_be(longer, 100)
    assert may_be(longer, 105)


@pytest.mark.parametrize(("said", "asked"), [("thirteen", 30), ("thirty", 13), ("two hundred forty", 214)])
def test_teens_and_tens_lie_closer(said, asked):
    other = {30: "thirty", 13: "thirteen", 214: "two hundred fourteen"}[asked]
    assert may_be({said: -1.0, other: -5.5}, asked)
    assert not may_be({said: -1.0, other: -7.5}, asked)
    # Not the pair: forty and thirteen.
    assert may_be({"forty": -1.0, "thirteen": -7.5}, 13)


@pytest.mark.parametrize(
    ("heard", "phrases"),
    [
        ("fifty four", ("forty five",)),
        ("four ten six", ("four ten five",)),
        ("four six", ("four five",)),
        ("five", ("forty five", "four ten five")),
        ("one two three", ()),
        ("", ()),
    ],
)
def test_the_number_asked_as_it_would_have_been_said_in_that_way(heard, phrases):
    assert phrases_for(heard, 45) == phrases


def test_teens_and_tens_are_left_to_the_network_that_learnt_to_tell_them():
    assert phrases_for("thirty", 13) == () and phrases_for("two hundred fourteen", 240) == ()
    assert phrases_for("thirty", 15) == ("fifteen",)
