"""Before a child is told that it was wrong: may the number asked for have been said after all?"""

import math

import pytest

from sayit.hearing.doubt import margin, phrases_for, said_after_all
from sayit.hearing.heard import Heard


def heard(scores, words=None):
    words = max((w for w in scores if w), key=scores.get, default="") if words is None else words
    return Heard(words, 0.9, True, (), "scored", 1.0, 0.1, scores)


def doubt(scores, asked, opinion=None):
    """The doubt of what is heard best, where a second opinion weighs it so."""
    return said_after_all(heard(scores), asked, lambda phrases: opinion or {}).doubt


def test_the_margin_is_in_nats_between_the_best_phrase_and_the_asked_number():
    scores = {"five nine three four": -10.0, "one nine three four": -14.5, "": -3.0}
    assert margin(scores, 1934) == pytest.approx(4.5)
    assert margin(scores, 5934) == 0
    assert margin(scores, 77) == math.inf and margin({}, 77) == math.inf


def test_either_form_and_a_correction_count_as_the_number():
    assert margin({"fifty four": -1.0, "four ten five": -3.0, "forty five": -8.0}, 45) == pytest.approx(2)
    assert margin({"fifty four": -1.0, "fifty four no forty five": -2.5}, 45) == pytest.approx(1.5)


def test_near_means_asking_again_and_far_means_judging():
    assert doubt({"five six": -1.0, "nine six": -13.5}, 96) == "near"
    assert not doubt({"five six": -1.0, "nine six": -14.5}, 96)
    assert not doubt({"five six": -1.0}, 96) and not doubt({"": -1.0}, 96) and not doubt({}, 96)
    assert not doubt({"nine six": -1.0, "five six": -1.5}, 96), "heard as asked"


def test_what_is_left_of_a_longer_number_lies_closer():
    """Other speech may stand beside a number, so a word of it can always be taken for such."""
    longer = {"one hundred forty five": -1.0, "forty five": -5.5, "one hundred": -7.5, "one hundred five": -9.0}
    assert doubt(longer, 45) and not doubt(longer, 100)
    assert doubt(longer, 105)


@pytest.mark.parametrize(
    ("said", "other", "asked"),
    [
        ("thirteen", "thirty", 30),
        ("thirty", "thirteen", 13),
        ("two hundred forty", "two hundred fourteen", 214),
        ("fifteen thousand", "fifty thousand", 50_000),
        ("thirty", "one ten three", 13),
    ],
)
def test_teens_and_tens_lie_closer_and_are_told_from_other_doubts(said, other, asked):
    assert doubt({said: -1.0, other: -5.5}, asked) == "swapped"
    assert not doubt({said: -1.0, other: -7.5}, asked)


def test_a_ten_and_another_teen_are_no_pair():
    assert doubt({"forty": -1.0, "thirteen": -7.5}, 13) == "near"


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
