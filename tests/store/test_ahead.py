"""A clock that was a year ahead and is set back, or ten years behind for a day: what it dated spoils nothing."""

from datetime import UTC, datetime, timedelta

import pytest

from sayit.practice.plan import plan_week
from sayit.report.gather import figures_of
from sayit.report.log import entries
from sayit.store.ahead import in_time, not_ahead
from sayit.store.learning import learner_of
from tests.store.conftest import NOON

KEYS = ["teens/say-back:plain/13", "teens/say-back:plain/14", "teens/say-back:plain/15"]
NOW = NOON + timedelta(days=4)


@pytest.fixture
def practise(record, session, make_answer):
    def sitting(at, count=12):
        for number in range(count):
            judged = at + timedelta(seconds=10 * number)
            record.keep(
                make_answer(
                    question=KEYS[number % 3], step="teens", verdict="right" if number % 4 else "wrong",
                    asked_at=judged - timedelta(seconds=4), judged_at=judged, response_seconds=1.0,
                )
            )  # fmt: skip

    return sitting


@pytest.mark.parametrize("many", [12, 120], ids=["few answers", "so many that the learner is kept"])
def test_a_sitting_dated_a_year_ahead_spoils_neither_spacing_nor_plan_nor_report(record, practise, many):
    pip = record.child("Pip")
    ahead = NOON + timedelta(days=365)
    practise(NOON)
    practise(ahead, many)
    learner_of(record, pip, now=ahead)
    practise(NOON + timedelta(days=3))
    learner = learner_of(record, pip, now=NOW)
    assert learner.answers == 24 + many
    assert learner.last <= NOW.timestamp()
    for item in learner.items.values():
        assert item.last <= NOW.timestamp() and item.due < (NOW + timedelta(days=22)).timestamp()
    assert plan_week(learner, NOW).days[0].day == (NOW + timedelta(days=1)).date()
    figures = figures_of(record, pip, weeks=2, now=NOW)
    assert [day.day for day in figures.days] == [NOON.date(), (NOON + timedelta(days=3)).date()]
    assert figures.answers == 24 + many
    log = entries(in_time(record.answers(), NOW), record.sessions(), UTC)
    assert max(entry.day for entry in log) < NOW.date()
    assert max(answer.judged_at for answer in record.answers()) > NOW, "the record itself is not changed"


def test_the_learner_is_the_same_as_with_a_right_clock(record, session, practise):
    pip = record.child("Pip")
    practise(NOON + timedelta(days=365))
    practise(NOON + timedelta(days=3))
    wrong = learner_of(record, pip, now=NOW, keep=False)
    record.rows("DELETE FROM answer")
    practise(NOON + timedelta(days=3) - timedelta(seconds=110))
    practise(NOON + timedelta(days=3))
    assert wrong.to_dict() == learner_of(record, pip, now=NOW, keep=False).to_dict()


def test_a_clock_that_stood_at_its_beginning_for_a_day(record, practise):
    """A machine without a battery wakes up in 1970; what it then made of the answers is not kept for the days after."""
    pip, past = record.child("Pip"), datetime(1970, 1, 1, 0, 5, tzinfo=UTC)
    practise(NOON, 120)
    learner_of(record, pip, now=past)
    practise(past)
    learner_of(record, pip, now=past + timedelta(minutes=5))
    practise(NOON + timedelta(days=3))
    learner = learner_of(record, pip, now=NOW)
    assert all(item.last >= NOON.timestamp() for item in learner.items.values())
    assert figures_of(record, pip, weeks=2, now=NOW).answers == 132


def test_what_is_moved_keeps_its_order_and_distances():
    minute = timedelta(minutes=1)
    ahead = NOON + timedelta(days=400)
    moments = [NOON, ahead, ahead + minute, NOON + 9 * minute, ahead, NOON + 20 * minute, ahead]
    assert not_ahead(moments, NOON + 30 * minute) == [
        NOON, NOON + 8 * minute, NOON + 9 * minute, NOON + 9 * minute, NOON + 20 * minute, NOON + 20 * minute,
        NOON + 30 * minute,
    ]  # fmt: skip
    assert not_ahead(moments[:1], NOON) == moments[:1]
