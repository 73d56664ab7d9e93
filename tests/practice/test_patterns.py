"""A reason that keeps coming is an aim, at home where it belongs, and told in its own words."""

from datetime import UTC, datetime, timedelta

import pytest

from sayit.numbers import REASONS
from sayit.practice.activities import ACTIVITIES
from sayit.practice.aims import ranked
from sayit.practice.folding import fold
from sayit.practice.key import split_ask, split_skill
from sayit.practice.learner import Learner, Past
from sayit.practice.path import load_path
from sayit.practice.patterns import HOMES, patterns

NOW = datetime(2026, 1, 5, 16, tzinfo=UTC)
MISSES = [slug for slug, reason in REASONS.items() if reason.because]


def missing(reason, key="tens-and-ones/read-out:plain/45", times=3):
    learner = Learner(step="all-thousands")
    for turn in range(times):
        fold(learner, Past(NOW + timedelta(minutes=5 * turn), key, "wrong", (reason,), 2.0))
    return learner


def test_every_reason_for_a_miss_has_a_home_or_is_named_here():
    anywhere = {
        "off-by-one", "off-by-ten", "other-digit", "other-number", "digits-swapped", "wrong-place-word", "dropped-part", "added-part",
        "malformed", "teen-for-ten", "uncommon-name", "digit-by-digit", "other-form", "mixed-form", "made-up-word",
        "by-twos", "by-fives", "by-tens", "decade-overrun", "wrong-direction", "one-for-ten", "told-ones",
        "told-tens-digit", "told-number", "added-zero", "in-pieces", "undecided",
    }  # fmt: skip
    assert set(MISSES) - anywhere == set(HOMES) and anywhere <= set(MISSES)
    for home in HOMES.values():
        assert set(home.steps) <= set(load_path().slugs) and set(home.activities) <= set(ACTIVITIES)


@pytest.mark.parametrize("slug", MISSES)
def test_it_becomes_the_aim_and_is_told(slug):
    learner = missing(slug)
    at = (NOW + timedelta(hours=1)).timestamp()
    (pattern,) = patterns(learner, at)
    aim = ranked(learner, at)[0]
    assert pattern.reason == aim.reason == slug
    assert aim.why == f"lately {REASONS[slug].because}"
    steps = {split_skill(skill)[0] for skill in pattern.skills}
    home = HOMES.get(slug)
    if home and not home.activities:
        assert steps == {*home.steps, "tens-and-ones"}
    elif not home:
        assert pattern.skills == ("tens-and-ones/read-out:plain",)


def test_counting_is_mended_where_things_are_seen():
    (pattern,) = patterns(missing("counted"), NOW.timestamp())
    assert {split_ask(split_skill(skill)[1])[0] for skill in pattern.skills} == {"glimpse"}
    assert {split_skill(skill)[0] for skill in pattern.skills} == set(HOMES["counted"].steps)
