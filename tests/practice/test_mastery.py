"""Mastery against the published model, and its order of things."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sayit.practice.mastery import (
    LEVELS,
    START,
    Rates,
    chances,
    fade,
    level,
    right_chance,
    status,
    update,
)

beliefs = st.tuples(*[st.floats(0.01, 1.0)] * 3).map(lambda parts: tuple(part / sum(parts) for part in parts))
shown = st.sampled_from((*LEVELS, "untimed"))


@given(
    st.floats(0.01, 0.99),
    st.lists(st.booleans(), max_size=30),
    st.floats(0.05, 0.3),
    st.floats(0.02, 0.1),
    st.floats(0.05, 0.5),
    st.floats(0.0, 1.0),
)
def test_without_time_and_with_both_upper_levels_as_one_it_is_corbett_and_anderson(
    known, answers, guess, slip, learn, quicken
):
    # Corbett & Anderson (1995), their equations: p(L|evidence) by Bayes from guess and slip,
    # then p(L) = p(L|evidence) + (1 - p(L|evidence)) p(T).
    belief = (1 - known, known * 0.6, known * 0.4)
    rates = Rates(guess=guess, slip=slip, slip_fluent=slip, learn=learn, quicken=quicken)
    for right in answers:
        if right:
            given_evidence = known * (1 - slip) / (known * (1 - slip) + (1 - known) * guess)
        else:
            given_evidence = known * slip / (known * slip + (1 - known) * (1 - guess))
        known = given_evidence + (1 - given_evidence) * learn
        belief = update(belief, "untimed" if right else "missed", rates)
        assert belief[1] + belief[2] == pytest.approx(known, abs=1e-9)


@given(beliefs, shown)
def test_a_belief_stays_one(belief, what):
    after = update(belief, what)
    assert sum(after) == pytest.approx(1.0)
    assert all(0 <= share <= 1 for share in after)


@given(beliefs, st.floats(0, 400))
def test_time_without_practice_only_lowers(belief, days):
    after = fade(belief, days)
    assert sum(after) == pytest.approx(1.0)
    assert after[2] <= belief[2] + 1e-12 and after[0] >= belief[0] - 1e-12
    assert fade(belief, 0.0) == belief


@given(beliefs)
def test_quick_says_more_than_correct_and_correct_more_than_slow(belief):
    # A miss may be a slip of one who is fluent; a slow answer says that it does not come at once.
    fluent = [update(belief, what)[2] for what in ("slow", "correct", "fluent")]
    assert fluent == sorted(fluent) and len(set(fluent)) == 3
    known = [1 - update(belief, what)[0] for what in ("missed", "slow", "correct")]
    assert known == sorted(known)


def test_chances_of_all_that_can_be_shown_sum_to_one():
    for state in range(3):
        assert sum(chances(what, Rates())[state] for what in LEVELS) == pytest.approx(1.0)


def test_four_quick_answers_are_fluent_and_slow_ones_never_are():
    quick = slow = START
    for _ in range(4):
        quick, slow = update(quick, "fluent"), update(slow, "slow")
    assert status(quick, 4) == "fluent"
    for _ in range(40):
        slow = update(slow, "slow")
    assert status(slow, 44) == "known"
    assert status(update(START, "missed"), 3) == "shaky"
    assert status(quick, 1) == "new"


def test_levels_by_verdict_and_time():
    assert level("right", 1.9, 2.0) == "fluent"
    assert level("right", 3.9, 2.0) == "correct"
    assert level("right", 4.1, 2.0) == "slow"
    assert level("right", None, 2.0) == "untimed"
    assert level("wrong", 0.5, 2.0) == level("other-form", 0.5, 2.0) == "missed"
    assert level("unclear", 0.5, 2.0) == "unclear"


@given(beliefs, st.floats(0.01, 0.5))
def test_a_right_answer_is_likelier_the_more_is_known(belief, guess):
    rates = Rates(guess=guess)
    assert guess <= right_chance(belief, rates) <= 1 - rates.slip_fluent
    assert right_chance(update(belief, "fluent", rates), rates) >= right_chance(update(belief, "missed", rates), rates)
