"""The compact state: one answer at a time, rebuilt, saved, taken back."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sayit.errors import SayitError
from sayit.practice import spacing
from sayit.practice.activities import asks, make_question, number_for
from sayit.practice.folding import ECHO_SECONDS, counts_still, fold, mastered
from sayit.practice.key import Key
from sayit.practice.learner import Learner, Past
from sayit.practice.path import load_path
from sayit.practice.undo import remember, restore

START = datetime(2026, 1, 5, 16, tzinfo=UTC)
PATH = load_path()


def rebuild(settings: Learner, record: list[Past]) -> Learner:
    """A learner of these settings with the whole record folded in, oldest first."""
    learner = replace(settings, skills={}, items={}, weak={}, missed={}, glimpses=[])
    for past in record:
        fold(learner, past)
    return learner


def history(seed: int, count: int, upto: str = "whole-tens") -> list[Past]:
    """Answers of an invented child, some missed, some unclear, some slow."""
    random = Random(seed)
    steps = PATH.steps[: PATH.index(upto) + 1]
    now, record = START, []
    for _ in range(count):
        step = random.choice(steps)
        ask = random.choice(asks(step))
        question = make_question(step, ask, number_for(step, ask, random), random)
        verdict = random.choice(["right"] * 6 + ["wrong", "other-form", "unclear"])
        reasons = (random.choice(["teen-ty-swap", "off-by-one", "counted"]),) if random.random() < 0.3 else ()
        seconds = random.choice([None, 0.7, 1.5, 4.0, 9.0])
        now += timedelta(seconds=random.choice([3, 8, 20, 3_600, 86_400]))
        record.append(Past(now, question.key, verdict, reasons, seconds))
    return record


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.integers(0, 120), st.integers(0, 120))
def test_rebuilt_from_the_record_it_is_the_same(seed, before, after):
    record = history(seed, before + after)
    learner = Learner(step="teens", pace=1.2, skipped=("pairs-to-ten",))
    for past in record[:before]:
        fold(learner, past)
    # Saved and opened between two answers, as between two sittings.
    learner = Learner.from_dict(json.loads(json.dumps(learner.to_dict())))
    for past in record[before:]:
        fold(learner, past)
    fresh = rebuild(Learner(step="teens", pace=1.2, skipped=("pairs-to-ten",)), record)
    assert learner == fresh
    assert learner.answers == len(record)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 60))
def test_an_answer_can_be_taken_back_and_given_again(seed, count):
    *record, last = history(seed, count)
    learner = rebuild(Learner(step="teens"), record)
    untouched = rebuild(Learner(step="teens"), record)
    before = remember(learner, last.key)
    for verdict in ("wrong", "right", "wrong"):
        fold(learner, Past(last.at, last.key, verdict, (), 1.0))
        restore(learner, before)
        assert learner == untouched


def test_the_state_does_not_grow_with_the_answers():
    short, long = rebuild(Learner(step="teens"), history(1, 3_000)), rebuild(Learner(step="teens"), history(1, 9_000))
    # Three times the answers, the same things asked.
    assert len(json.dumps(long.to_dict())) < 1.1 * len(json.dumps(short.to_dict()))


def test_an_unknown_question_is_told_and_changes_nothing():
    learner = rebuild(Learner(step="teens"), history(2, 20))
    before = learner.to_dict()
    for key in ("free/say-back:plain/13", "teens/dance/13"):
        with pytest.raises(SayitError):
            fold(learner, Past(START, key, "right"))
    assert learner.to_dict() == before


def test_unclear_shows_nothing():
    learner = Learner(step="teens")
    assert fold(learner, Past(START, "teens/build:plain/13", "unclear", ("not-a-number",), 1.0)) == "unclear"
    assert not learner.skills and not learner.items


def test_a_right_answer_just_after_it_was_said_proves_nothing():
    key = "teens/build:plain/13"
    missed = Past(START, key, "wrong", ("teen-ty-swap",), 2.0)
    soon = rebuild(
        Learner(step="teens"),
        [missed, Past(START + timedelta(seconds=ECHO_SECONDS - 1), key, "right", (), 1.0)],
    )
    later = rebuild(
        Learner(step="teens"),
        [missed, Past(START + timedelta(seconds=ECHO_SECONDS + 1), key, "right", (), 1.0)],
    )
    alone = rebuild(Learner(step="teens"), [missed])
    assert soon.skills == alone.skills and soon.items == alone.items
    assert later.skills != alone.skills


def test_items_are_numbers_below_a_hundred_and_shapes_above():
    assert Key.parse("teens/build:plain/13").item == "teens/build:plain/13"
    assert Key.parse("thousands-inner-zeros/build:plain/4030").item == "thousands-inner-zeros/build:plain/d0d0"
    assert Key.parse("hundreds/read-out:plain/345").item == Key.parse("hundreds/read-out:plain/678").item
    assert Key.parse("teens/which-more/13,30").item == "teens/which-more/pair"


def answers(step: str, seconds: float, times: int, *, verdict: str = "right", start: datetime = START) -> list[Past]:
    data, random, now, record = PATH[step], Random(3), start, []
    for _ in range(times):
        for ask in asks(data, needed=True):
            question = make_question(data, ask, number_for(data, ask, random), random)
            now += timedelta(seconds=60)
            record.append(Past(now, question.key, verdict, (), seconds))
    return record


def test_a_fluent_step_is_left_and_a_slow_one_too_a_little_later():
    quick = rebuild(Learner(step="to-five"), answers("to-five", 1.0, 6))
    assert quick.step == "five-and-some"
    slow = rebuild(Learner(step="to-five"), answers("to-five", 6.0, 3))
    assert slow.step == "to-five"
    patient = rebuild(Learner(step="to-five"), answers("to-five", 6.0, 9))
    assert patient.step == "five-and-some"
    assert patient.status("to-five/glimpse", patient.last) == "known"
    assert patient.skills["to-five/glimpse"].kept >= spacing.RETENTION, "slow is no forgetting"
    assert quick.status("to-five/glimpse", quick.last) == "fluent"
    missed = rebuild(Learner(step="to-five"), answers("to-five", 1.0, 30, verdict="wrong"))
    assert missed.step == "to-five" and missed.status("to-five/glimpse", missed.last) == "shaky"
    assert mastered(quick, "to-five", quick.last) and not mastered(missed, "to-five", missed.last)


def test_a_skipped_step_is_passed_over():
    learner = rebuild(Learner(step="to-five", skipped=("five-and-some",)), answers("to-five", 1.0, 6))
    assert learner.step == "pairs-to-ten"


def test_a_child_s_pace_stretches_the_limits():
    past = Past(START, "teens/build:plain/13", "right", (), 6.0)
    assert fold(Learner(step="teens"), past) == "correct"
    assert fold(Learner(step="teens", pace=1.5), past) == "fluent"


def test_three_quick_numbers_do_not_make_a_fourth_fluent():
    record = [
        Past(START + timedelta(minutes=turn), f"teens/build:plain/{number}", verdict, (), 1.5)
        for turn, (number, verdict) in enumerate(
            [(13, "wrong"), *[(n, "right") for n in (14, 15, 16, 17, 18, 19, 11, 12)]]
        )
    ]
    learner = rebuild(Learner(step="teens"), record)
    assert learner.weak["teens/build:plain"] == ("teens/build:plain/13",)
    assert learner.status("teens/build:plain", learner.last) == "known"
    fold(learner, Past(START + timedelta(hours=1), "teens/build:plain/13", "right", (), 1.5))
    assert learner.status("teens/build:plain", learner.last) == "fluent"


def test_counting_is_noticed_by_the_times_alone():
    record = [
        Past(START + timedelta(minutes=turn), f"five-and-some/glimpse/{quantity}", "right", (), 0.8 + 1.0 * quantity)
        for turn, quantity in enumerate([6, 10, 7, 9, 8, 6, 9, 10, 7])
    ]
    learner = rebuild(Learner(step="five-and-some"), record)
    assert "counted" in learner.trouble("five-and-some/glimpse", learner.last)
    assert learner.weak["five-and-some/glimpse"]
    quick = [Past(past.at, past.key, "right", (), 1.2) for past in record]
    assert not rebuild(Learner(step="five-and-some"), quick).trouble("five-and-some/glimpse", learner.last)


def test_who_counts_stays_a_while_to_see_but_never_for_ever():
    """Five quantities counted aloud beside fluent neighbours: right, and so no wall, but more looks come first."""
    learner, left = Learner(step="five-and-some"), 0
    for turn in range(60):
        at = START + timedelta(minutes=turn)
        for way in ("next", "before"):
            fold(learner, Past(at, f"five-and-some/next-door:{way}/{6 + turn % 4}", "right", (), 1.0))
        fold(learner, Past(at, f"five-and-some/glimpse/{6 + turn % 5}", "right", ("counted",), 6.0))
        if not left and learner.step != "five-and-some":
            left = turn + 1
            assert counts_still(learner, "five-and-some", at.timestamp())
    assert 30 <= left < 60
    seen = rebuild(Learner(step="five-and-some"), answers("five-and-some", 1.0, 6))
    assert seen.step == "pairs-to-ten" and not counts_still(seen, "five-and-some", seen.last)


def test_a_quantity_that_takes_far_longer_than_the_others_was_not_seen_at_once():
    def after(seconds: float, usual: float) -> tuple[bool, float]:
        learner = Learner(step="five-and-some")
        for turn in range(8):
            at = START + timedelta(minutes=turn)
            fold(learner, Past(at, f"five-and-some/glimpse/{6 + turn % 4}", "right", (), usual))
        at += timedelta(minutes=1)
        fold(learner, Past(at, "five-and-some/glimpse/10", "right", (), seconds))
        item = learner.items["five-and-some/glimpse/10"]
        return "five-and-some/glimpse/10" in learner.weak["five-and-some/glimpse"], item.due - item.last

    (weak, soon), (seen, later), (slow, own) = after(9.0, 1.5), after(1.5, 1.5), after(9.0, 7.5)
    assert weak and not seen and not slow, "slow at all of them is that child's own pace"
    assert soon < later and soon < own


def test_what_is_right_in_one_way_is_partly_seen_for_the_others_but_not_where_it_was_missed():
    def after(first: str) -> tuple[float, float]:
        learner = rebuild(Learner(step="teens"), [Past(START, "teens/build:plain/13", first, (), 1.5)])
        item = learner.items["teens/build:plain/13"]
        before, interval = item.due, item.due - item.last
        then = START + timedelta(seconds=0.9 * interval)
        fold(learner, Past(then, "teens/read-out:plain/13", "right", (), 1.5))
        fold(learner, Past(then, "teens/read-out:plain/14", "right", (), 1.5))
        return (item.due - before) / interval, interval

    moved, interval = after("right")
    assert moved == pytest.approx(0.9 + 0.5 - 1.0) and interval > 0
    assert after("wrong")[0] == 0.0


def test_in_one_form_nothing_is_needed_in_the_other():
    both, one = Learner(step="teens"), Learner(step="teens", forms=("plain",))
    step = PATH["teens"]
    assert {"read-out:explicit", "build:explicit", "other-way:explicit"} <= set(both.asks(step, needed=True))
    assert set(one.asks(step, needed=True)) == {"other-way:plain", "build:plain", "read-out:plain"}
    tens = Learner(step="to-five", forms=("explicit",))
    assert tens.asks(PATH["to-five"]) == both.asks(PATH["to-five"]), "up to ten there is one name"
    record = [past for past in answers("teens", 1.0, 8) if ":explicit" not in past.key]
    assert rebuild(one, record).step == "whole-tens" and rebuild(both, record).step == "teens"


def test_old_reasons_fade():
    learner = rebuild(Learner(step="teens"), [Past(START, "teens/build:plain/13", "wrong", ("teen-ty-swap",), 2.0)])
    weights = [
        learner.trouble("teens/build:plain", (START + timedelta(days=days)).timestamp()).get("teen-ty-swap", 0.0)
        for days in (0, 7, 30)
    ]
    assert weights[0] == pytest.approx(1.0) and weights[1] == pytest.approx(0.5) and weights[2] == 0.0
