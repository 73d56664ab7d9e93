"""Before a child is told that it was wrong: may the number asked for have been said after all?"""

import math

import pytest

from sayit.hearing.doubt import NONE, margin, phrases_for, said_after_all
from sayit.hearing.heard import Heard


def heard(scores, words=None):
    words = max((w for w in scores if w), key=scores.get, default="") if words is None else words
    return Heard(words, 0.9, True, (), "scored", 1.0, 0.1, scores)


def told(scores, asked, opinion=None, before=NONE):
    """What is told by what is heard best, where a second opinion weighs it so."""
    return said_after_all(heard(scores), asked, lambda phrases: opinion or {}, before)


def doubt(scores, asked):
    return told(scores, asked).doubt


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


NINE, FIVE = {"five six": -1.0, "nine six": -8.0}, {"five six": -1.0, "nine six": -6.0}


@pytest.mark.parametrize(
    ("first", "second", "asked", "doubts"),
    [
        (NINE, FIVE, 96, ("near", "near")),
        (NINE, NINE, 96, ("near", None)),
        ({"thirteen": -1.0, "thirty": -4.0}, {"thirteen": -1.0, "thirty": -3.5}, 30, ("swapped", None)),
        ({"forty": -1.0, "fourteen": -4.0}, {"four ten": -1.0, "fourteen": -4.0}, 14, ("swapped", None)),
        # Heard as yet another number, or as the one asked for: nothing is added.
        ({"five six": -1.0, "nine six": -8.0}, {"five eight": -1.0, "nine six": -8.0}, 96, ("near", "near")),
        ({"thirteen": -1.0, "thirty": -4.0}, {"thirty": -1.0, "thirteen": -4.0}, 30, ("swapped", None)),
    ],
)
def test_answers_heard_alike_add_up(first, second, asked, doubts):
    before = told(first, asked)
    assert (before.doubt, told(second, asked, before=before).doubt) == doubts


def test_what_a_second_opinion_holds_adds_up_too():
    far = {"five six": -1.0, "nine six": -30.0}
    against, rather_for = {"five six": -3.0, "nine six": -1.0}, {"five six": -1.0, "nine six": -2.0}
    first = told(far, 96, against)
    assert (first.doubt, first.opinion) == ("near", -2.0)
    second = told(far, 96, rather_for, first)
    assert (second.doubt, second.opinion) == ("near", -1.0)
    third = told(far, 96, rather_for, told(far, 96, rather_for, second))
    assert (third.doubt, third.opinion) == (None, 1.0)
    # Without one, or of another number, the answers before tell nothing.
    assert told(far, 96, before=first).opinion == -2.0
    assert told({"five eight": -1.0}, 96, {}, first).opinion == 0


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
