"""Grammar, pace and doubt, weighed without a recogniser."""

import math

import pytest

from sayit.hearing.hypotheses import choose, credible, weigh, well_formed


@pytest.mark.parametrize(
    "words", ["four ten five", "forty five", "three two two seven", "one two three", "four hundred"]
)
def test_number_names_digit_strings_and_counts_are_well_formed(words):
    assert well_formed(words)


@pytest.mark.parametrize(
    "words", ["five hundred thousand ten hundred", "nine nine eight hundred three", "five five five five five five"]
)
def test_what_no_one_says_is_not(words):
    assert not well_formed(words)


def test_a_malformed_string_needs_a_better_score_than_a_number():
    assert weigh("nine hundred eight", -2, 1.3, 1) > weigh("nine eight hundred hundred", -2, 1.3, 1)


def test_a_string_said_twice_over_loses_to_the_string():
    once = weigh("four five", -2, 1.0, 1)
    assert once > weigh("four five four five", -2, 1.0, 1)


def test_a_name_cannot_have_fewer_words_than_there_were_stretches_of_voice():
    assert weigh("one", -2, 0.6, 1) > weigh("one", -2, 0.6, 4)


def test_a_pace_that_no_one_speaks_at_is_not_credible():
    # Syllables last about 0.2 s in adults' and 0.3 s in young children's careful speech (common practice, no source).
    assert credible("four ten five", 1.0)
    assert not credible("one", 4.0)
    assert not credible("nine thousand nine hundred ninety nine", 0.3)


def test_strings_with_one_meaning_are_one_hypothesis():
    best = choose({"hundred five": -1.0, "one hundred five": -1.2, "nine": -3.0})
    assert [hypothesis.words for hypothesis in best] == ["hundred five", "nine"]
    assert math.isclose(sum(hypothesis.score for hypothesis in best), 1.0)
    assert best[0].score > 1 / (1 + math.exp(-2))


def test_forms_stay_apart():
    best = choose({"forty five": -1.0, "four ten five": -1.1})
    assert len(best) == 2


def test_nothing_in_nothing_out():
    assert choose({}) == ()
    assert weigh("", -1.0, 1.0, 1) == -math.inf
