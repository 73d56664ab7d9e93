"""Things on the screen: grouped by five, by space alone."""

import itertools

import pytest

from sayit.practice.layout import MOST, dots


@pytest.mark.parametrize("quantity", range(MOST + 1))
def test_as_many_as_asked_and_none_on_another(quantity):
    placed = dots(quantity)
    assert len(placed) == quantity
    for at, one in enumerate(placed):
        for other in placed[at + 1 :]:
            assert (one.x - other.x) ** 2 + (one.y - other.y) ** 2 > 1.0, "two things touch"


@pytest.mark.parametrize("quantity", range(6, MOST + 1))
def test_space_alone_shows_the_fives(quantity):
    placed = dots(quantity)
    within = max(abs(one.x - other.x) for one, other in itertools.pairwise(placed) if one.group == other.group)
    between = [
        max(abs(one.x - other.x), abs(one.y - other.y))
        for one, other in itertools.pairwise(placed)
        if one.group != other.group
    ]
    assert between and min(between) >= 2 * within
    assert [sum(dot.group == group for dot in placed) for group in range(quantity // 5)] == [5] * (quantity // 5)


def test_the_picture_of_a_smaller_quantity_is_the_start_of_a_larger():
    assert dots(7) == dots(10)[:7]


def test_too_many_cannot_be_seen():
    for quantity in (-1, MOST + 1):
        with pytest.raises(ValueError, match="at a glance"):
            dots(quantity)
