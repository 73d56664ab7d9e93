"""Spacing over days, against the ``fsrs`` library used directly."""

from copy import copy
from datetime import UTC, datetime, timedelta

import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given
from hypothesis import strategies as st

from sayit.practice.spacing import LONGEST_DAYS, RETENTION, Item, review, stretch

START = datetime(2026, 1, 5, 16, tzinfo=UTC)
RATINGS = {"missed": Rating.Again, "slow": Rating.Hard, "correct": Rating.Good, "untimed": Rating.Good}


@given(st.lists(st.tuples(st.sampled_from(sorted(RATINGS)), st.floats(0.001, 40)), min_size=1, max_size=20))
def test_an_item_goes_the_way_of_an_fsrs_card(answers):
    library = Scheduler(
        desired_retention=RETENTION,
        learning_steps=(),
        relearning_steps=(),
        enable_fuzzing=False,
        maximum_interval=LONGEST_DAYS,
    )
    card, item, now = Card(card_id=1, due=START), Item(), START
    for shown, days in answers:
        card, _ = library.review_card(card, RATINGS[shown], now)
        review(item, shown, now.timestamp())
        assert (item.stability, item.difficulty) == pytest.approx((card.stability, card.difficulty))
        assert item.due == pytest.approx(card.due.timestamp(), abs=1e-3)
        now += timedelta(days=days)
    assert item.seen == len(answers)
    assert item.misses == sum(shown == "missed" for shown, _ in answers)


def test_the_same_answers_give_the_same_days():
    one, other = Item(), Item()
    for item in (one, other):
        for day, shown in enumerate(["correct", "fluent", "fluent", "fluent", "missed", "fluent"]):
            review(item, shown, START.timestamp() + day * 9 * 86_400)
    assert one == other


def test_quicker_answers_wait_longer():
    waits = []
    for shown in ("missed", "slow", "correct", "fluent"):
        item = Item()
        for day in (0, 1):
            review(item, "correct", START.timestamp() + day * 86_400)
        review(item, shown, START.timestamp() + 3 * 86_400)
        waits.append(item.due - item.last)
    assert waits == sorted(waits) and len(set(waits)) == 4
    assert waits[-1] <= LONGEST_DAYS * 86_400


def test_a_lucky_start_and_a_shaky_past_do_not_count_as_easy():
    first = Item()
    review(first, "fluent", START.timestamp())
    plain = Item()
    review(plain, "correct", START.timestamp())
    assert first.due == plain.due
    shaky = Item()
    for day, shown in enumerate(["missed", "correct", "correct", "correct"]):
        review(shaky, shown, START.timestamp() + day * 4 * 86_400)
    good, easy = copy(shaky), copy(shaky)
    review(good, "correct", START.timestamp() + 20 * 86_400)
    review(easy, "fluent", START.timestamp() + 20 * 86_400)
    assert good.due == easy.due


def test_what_does_not_stay_comes_sooner():
    assert stretch(RETENTION) == pytest.approx(1.0)
    assert stretch(0.99) == 1.0
    assert 0.4 < stretch(0.8) < 0.5
    assert stretch(0.0) == 0.25
    one, other = Item(), Item()
    review(one, "correct", START.timestamp())
    review(other, "correct", START.timestamp(), stretch(0.8))
    assert (other.due - other.last) == pytest.approx((one.due - one.last) * stretch(0.8))
