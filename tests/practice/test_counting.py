"""Telling counting from seeing, on times made from published slopes."""

from itertools import permutations
from random import Random
from statistics import pvariance

import pytest

from sayit.practice.counting import _ties, _variance, slope


def times(random: Random, start: float, each: float, noise: float, quantities=range(4, 11)) -> list[tuple[int, float]]:
    return [
        (quantity, (start + each * quantity) * random.lognormvariate(0, noise))
        for quantity in random.choices(quantities, k=14)
    ]


def test_children_who_count_are_told():
    # Chi & Klahr (1975): about 1 s for each further thing in five-year-olds (from memory).
    told = sum(slope(times(Random(seed), 0.8, 1.0, 0.15)).counting for seed in range(200))
    assert told >= 196


def test_children_who_see_are_not():
    # Below the counting range each further thing costs about 0.2 s in five-year-olds (the same paper, from
    # memory), 0.04 to 0.1 s in adults (Trick & Pylyshyn 1993).
    for each, most in ((0.0, 3), (0.07, 6), (0.12, 30)):
        told = sum(slope(times(Random(seed), 1.2, each, 0.25)).counting for seed in range(300))
        assert told <= most, each


def test_one_dreamy_answer_changes_nothing():
    flat = [(quantity, 1.2 + 0.01 * quantity) for quantity in range(4, 11)]
    assert not slope([*flat, (10, 60.0)]).counting
    counted = [(quantity, 1.0 * quantity) for quantity in range(4, 11)]
    assert slope([*counted, (4, 60.0)]).counting


def test_too_few_answers_tell_nothing():
    assert slope([(quantity, float(quantity)) for quantity in range(4, 9)]) is None
    assert slope([(4, 1.0), (5, 2.0)] * 6) is None


def test_times_that_fall_are_not_counting():
    assert not slope([(quantity, 20.0 - quantity) for quantity in range(1, 11)]).rising


@pytest.mark.parametrize(
    ("quantities", "seconds"),
    [
        ([1, 1, 2, 3, 3, 5], [1, 2, 2, 4, 4, 4]),
        ([1, 2, 3, 4, 5, 6], [1, 2, 3, 4, 5, 6]),
        ([1, 1, 1, 2, 2, 3], [1, 2, 3, 4, 5, 6]),
    ],
)
def test_the_variance_is_that_of_all_orders(quantities, seconds):
    def concordance(order):
        pairs = list(zip(quantities, order, strict=False))
        return sum(
            ((b[0] > a[0]) - (b[0] < a[0])) * ((b[1] > a[1]) - (b[1] < a[1]))
            for at, a in enumerate(pairs)
            for b in pairs[at + 1 :]
        )

    every = pvariance([concordance(order) for order in permutations(seconds)])
    assert _variance(len(quantities), _ties(quantities), _ties(seconds)) == pytest.approx(every)
