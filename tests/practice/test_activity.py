"""What an activity carries for the report, the desk and the sheet."""

import pytest

from sayit.practice.activities import ACTIVITIES

FREELY = ("say-back", "other-way", "read-out", "places", "glimpse", "build", "grow", "things")


@pytest.mark.parametrize("activity", ACTIVITIES.values(), ids=ACTIVITIES)
def test_an_activity_is_told_in_a_few_words(activity):
    assert activity.says and activity.short and not activity.short.endswith(".")
    assert len(activity.short) < len(activity.says)


def test_these_are_offered_freely_and_the_order_of_the_desk_stays():
    assert tuple(slug for slug, activity in ACTIVITIES.items() if activity.freely) == FREELY


def test_only_where_the_number_itself_is_wanted_a_miss_tells_what_it_was_taken_for():
    assert {slug for slug, activity in ACTIVITIES.items() if not activity.tells_number} == {
        "tens-in",
        "claps",
        "which-more",
    }
