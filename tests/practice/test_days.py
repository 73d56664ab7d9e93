"""What many days make of children who are not average: a short form of ``tests.benchmarks.days``."""

from tests.benchmarks.days import days_of, sittings_of
from tests.practice.household import HOUSEHOLD

MEMBERS = {member.name: member for member in HOUSEHOLD}


def test_a_child_put_too_high_is_led_back_and_never_stuck():
    steps = {}
    for day, _, learner, (sitting,) in sittings_of(MEMBERS["too high"], 0, 6):
        steps[day] = learner.step
        share = sum(level != "missed" for level in sitting.levels) / len(sitting.levels)
        assert sitting.thrice == 0 and (day < 2 or share > 0.6), (day, share)
    path = learner.path
    assert steps[1] == "hundreds" and all(path.index(steps[day]) <= path.index("teens") for day in (2, 3, 4, 5))


def test_a_silent_child_is_left_in_peace_and_the_parent_called():
    for _, _, learner, (sitting,) in sittings_of(MEMBERS["silent"], 0, 3):
        assert sitting.called and len(sitting.turns) == 6 and sitting.seconds < 90
        assert not learner.answers


def test_a_child_who_is_slow_but_right_moves_on():
    days = days_of(MEMBERS["slow but right"], 0, 14)
    assert days.right == 1.0 and days.early == 0 and days.at_one <= 7
    assert days.step not in ("pairs-to-ten", "teens", "whole-tens"), days.step


def test_what_is_due_fits_into_a_sitting():
    days = days_of(MEMBERS["average"], 1, 12)
    assert days.most_overdue <= 60 and days.right > 0.7 and days.thrice == 0
