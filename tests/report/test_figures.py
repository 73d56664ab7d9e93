"""Figures worked out by hand, from a handful of answers."""

from dataclasses import replace
from datetime import date, timedelta, timezone

import pytest

from sayit import SayitError
from sayit.practice.learner import Learner
from sayit.report.figures import Pair, confusions, figures, first_day, minutes_practised, require_answers
from sayit.report.words import duration, heaps, lead, share
from tests.report.conftest import NOW


def tell(pip, answers, sessions=(), **options):
    options = {"since": date(2026, 3, 1), "now": NOW} | options
    return figures(pip, Learner(step="teens"), answers, sessions, **options)


def test_counts(pip, make, sitting):
    answers = [
        make(2, 0, response_seconds=1.0),
        make(2, 1, response_seconds=9.0),
        make(2, 2, verdict="wrong", value=30, reasons=("teen-ty-swap",)),
        make(2, 3, verdict="unclear", value=None),
        make(1, 0, verdict="other-form"),
        make(1, 1, verdict="wrong", override="right", value=None, response_seconds=2.0),
        make(1, 2, override="skip"),
    ]
    sessions = [
        sitting(2, aim="teens/read-out:plain", aim_met="met"),
        sitting(1, aim_met="nearly"),
        sitting(9, aim_met="met"),
    ]
    told = tell(pip, answers, sessions)
    assert (told.answers, told.judged, told.right, told.unclear, told.other_form) == (7, 5, 3, 1, 1)
    # Three seconds still count as at once in a teen: the ones after 1 s and 2 s.
    assert told.quick == 2
    assert told.aims == {"met": 1, "nearly": 1}
    assert [(day.day.day, day.answers, day.right) for day in told.days] == [(18, 3, 2), (19, 2, 1)]
    assert told.days[0].seconds == 5.0
    # 20 s to the first question, three tens of seconds between them, 4 s for the last answer.
    assert told.days[0].minutes == pytest.approx((20 + 34) / 60)


def test_only_spoken_right_answers_have_a_response_time(pip, make):
    told = tell(
        pip,
        [
            make(0, 0, way="digits", response_seconds=5.0),
            make(0, 1, verdict="wrong", value=30),
            make(0, 2, response_seconds=None),
        ],
    )
    assert told.days[0].seconds is None and told.days[0].low is None
    assert tell(pip, [make(0, 0, response_seconds=2.5)]).days[0].high == 2.5


def test_a_day_is_a_day_where_the_family_lives(pip, make):
    auckland = timezone(timedelta(hours=13))
    told = tell(pip, [make(0)], now=NOW.astimezone(auckland))
    assert told.days[0].day == date(2026, 3, 21)


def test_what_came_before_is_left_out(pip, make):
    told = tell(pip, [make(10), make(1)], since=date(2026, 3, 15))
    assert told.answers == 1
    assert first_day(NOW, 1) == date(2026, 3, 14)


def test_confusions_are_by_reason_and_most_frequent_first(make):
    swap = {"verdict": "wrong", "reasons": ("teen-ty-swap", "off-by-ten")}
    answers = [
        make(0, 0, value=30, **swap),
        make(0, 1, value=30, **swap),
        make(0, 2, asked=14, value=40, **swap),
        make(0, 3, asked=305, value=35, verdict="wrong", reasons=("lost-zero",)),
        make(0, 4, asked=5, value=6, verdict="wrong"),
        # None of these shows a number taken for another.
        make(0, 5, asked=13, value=13, verdict="other-form"),
        make(0, 6, value=None, verdict="wrong"),
        make(0, 7, asked=3, value=4, verdict="wrong", activity="tens-in"),
        make(0, 8, value=30, override="right", **swap),
    ]
    found = confusions(answers)
    assert [(one.reason, one.times) for one in found] == [("teen-ty-swap", 3), ("lost-zero", 1), ("other-number", 1)]
    assert found[0].pairs == (Pair(13, 30, 2), Pair(14, 40, 1))


def test_minutes_leave_long_breaks_out(make):
    first, last = make(0, 0), make(0, 0)
    last = replace(last, asked_at=NOW + timedelta(hours=3), judged_at=NOW + timedelta(hours=3, seconds=4))
    # 4 s, then three hours that count as two minutes, then 4 s.
    assert minutes_practised(None, [first, last]) == pytest.approx(128 / 60)
    assert minutes_practised(NOW - timedelta(seconds=30), []) == 0


def test_nothing_to_tell_is_told(pip):
    with pytest.raises(SayitError, match="practise first"):
        require_answers(pip, 0)
    assert "no answer that counts" in lead(tell(pip, []))[0]


def test_the_heaps_hold_what_the_standing_says(pip):
    learner = Learner(step="teens")
    told = figures(pip, learner, [], [], since=date(2026, 3, 1), now=NOW)
    by_status = {heap.status: heap.lines for heap in heaps(told)}
    assert by_status["new"] == ("Teens: all of it", "Then: Whole tens")
    assert by_status["fluent"] == by_status["shaky"] == ()


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (0.2, "less than a minute"),
        (1, "1 minute"),
        (59.6, "1 hour"),
        (61, "1 hour 1 minute"),
        (125, "2 hours 5 minutes"),
    ],
)
def test_lengths_in_words(minutes, words):
    assert duration(minutes) == words


def test_shares_in_words():
    assert (share(3, 7), share(883, 1000)) == ("3 of 7", "88 of 100")


def test_speed_compares_each_kind_of_question_with_itself(pip, make):
    def answers(late_too: bool) -> list:
        told = []
        for day in range(12):
            # Early and late the same reading; and late harder numbers too, which take twice as long.
            kinds = ["teens/read-out:plain/13"] + (["hundreds/read-out:plain/345"] * 4 if day < 4 and late_too else [])
            for turn, key in enumerate(kinds):
                seconds = 5.0 if "hundreds" in key else 2.0 if day < 4 else 3.0
                told.append(make(day, turn, question=key, response_seconds=seconds))
        return told[::-1]

    told = tell(pip, answers(True))
    assert (told.speed.before, told.speed.after, told.speed.kinds) == (3.0, 2.0, 1), "make() counts days back from now"
    assert (
        lead(told)[-1]
        == "The same kinds of question are answered after about 2.0 seconds; at the beginning it was 3.0."
    )
    assert told.speed == tell(pip, answers(False)).speed
    few = [answer for answer in answers(False) if answer.judged_at.day % 4]
    assert tell(pip, few).speed is None, "too few days to tell"
