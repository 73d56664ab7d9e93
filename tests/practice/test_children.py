"""The simulated children: they know nothing of the plan, and the plan finds what they lack."""

import math
from random import Random

import pytest

from sayit.practice.activities import judge_answer, question_from_key
from sayit.practice.path import load_path
from tests.benchmarks.simulation import PROFILES, simulate
from tests.practice.children import Child, H, pieces

PATH = load_path()
SWAPS, ZEROS, COUNTS = PROFILES[1:]


def child_of(profile, seed=0) -> Child:
    return Child(Random(seed), profile.known, profile.weak)


def verdicts(profile, key: str, times: int = 40):
    question = question_from_key(PATH, key)
    return [judge_answer(question, child_of(profile, seed).answer(question)) for seed in range(times)]


@pytest.mark.parametrize(
    ("profile", "key", "reason"),
    [
        (SWAPS, "teens/read-out:plain/13", "teen-ty-swap"),
        (SWAPS, "whole-tens/build:plain/30", "teen-ty-swap"),
        (ZEROS, "thousands-inner-zeros/build:plain/4030", "lost-zero"),
        (ZEROS, "hundreds-inner-zero/read-out:plain/305", None),
        (COUNTS, "five-and-some/glimpse/8", "counted"),
    ],
)
def test_a_gap_shows_as_the_real_judge_sees_it(profile, key, reason):
    judged = verdicts(profile, key)
    if profile is COUNTS:
        assert sum(judgement.verdict == "right" for judgement in judged) >= 34
        assert 5 <= sum("counted" in judgement.reasons for judgement in judged) <= 20
    else:
        assert all(judgement.verdict == "wrong" for judgement in judged)
        assert reason is None or sum(reason in judgement.reasons for judgement in judged) >= 36


def test_what_is_known_is_right_but_for_slips():
    for profile, key in (
        (SWAPS, "tens-and-ones/build:plain/45"),
        (ZEROS, "thousands/build:plain/5432"),
        (COUNTS, "teens/read-out:plain/13"),
    ):
        right = sum(judgement.verdict == "right" for judgement in verdicts(profile, key, 200))
        assert 180 <= right < 200


def test_forgetting_and_spacing_are_those_of_the_published_model():
    # Pavlik & Anderson (2005): m = ln(sum t ** -d), d = 0.217 exp(m) + 0.177 (from memory).
    child = Child(Random(0), weak=frozenset({("word", 12)}))
    piece = ("word", 12)
    child.present(piece)
    child.pass_time(100.0)
    assert child.activation(piece) == pytest.approx(-0.177 * math.log(100))
    child.present(piece)
    decay = 0.217 * 100**-0.177 + 0.177
    child.pass_time(86_400.0)
    first, second = 100 + 86_400 * H, 86_400 * H
    assert child.activation(piece) == pytest.approx(math.log(first**-0.177 + second**-decay))

    def tomorrow(gap: float) -> float:
        one = Child(Random(0), weak=frozenset({piece}))
        for _ in range(6):
            one.present(piece)
            one.pass_time(gap)
        one.pass_time(5 * 86_400.0)
        return one.recall(piece)

    assert tomorrow(600.0) > tomorrow(5.0)


def test_a_detour_in_tens_form_teaches_nothing_of_the_swap():
    # Otherwise the plan's own follow-ups would be rewarded by the model.
    detour = question_from_key(PATH, "teens/say-back:explicit/13")
    assert not set(pieces(detour)) & SWAPS.weak
    claps = question_from_key(PATH, "whole-tens/claps:count/30")
    assert not set(pieces(claps)) & SWAPS.weak


def test_the_same_seed_gives_the_same_result():
    assert simulate(SWAPS, "plan", 3, 4) == simulate(SWAPS, "plan", 3, 4)
    assert simulate(SWAPS, "random", 3, 4) == simulate(SWAPS, "random", 3, 4)


@pytest.mark.parametrize("profile", [SWAPS, ZEROS, COUNTS], ids=lambda profile: profile.name)
def test_the_plan_finds_the_gap_on_the_first_days(profile):
    found = [simulate(profile, "plan", seed, 3).found for seed in range(3)]
    assert all(at is not None and at <= 150 for at in found), found
