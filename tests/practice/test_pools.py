"""Sets of numbers as patterns, against listing all numbers out."""

import re
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sayit.errors import SayitError
from sayit.practice.pools import Pool

SIGNS = {"#": "[1-9]", "*": "[0-9]"}


def listed(pattern: str, limit: int) -> list[int]:
    """All numbers up to ``limit`` whose digits match, by a regular expression."""
    matcher = re.compile("".join(SIGNS.get(sign, sign) for sign in pattern))
    return [number for number in range(limit + 1) if matcher.fullmatch(str(number))]


@pytest.mark.parametrize("pattern", ["#", "#0", "1#", "[2-9]#", "#0#", "##0", "#0#0", "##0#", "5*", "100", "[13]*"])
@pytest.mark.parametrize("limit", [50, 310, 9_999])
def test_a_pattern_is_what_its_signs_say(pattern, limit):
    pool = Pool((pattern,), limit)
    expected = listed(pattern, limit)
    assert [pool[at] for at in range(len(pool))] == expected
    assert [number for number in range(0, 10_000, 7) if number in pool] == [n for n in expected if n % 7 == 0]


@given(st.integers(1, 400), st.integers(0, 400), st.integers(10, 999))
def test_a_range_ends_at_the_limit(first, more, limit):
    pool = Pool((f"{first}-{first + more}",), limit)
    assert [pool[at] for at in range(len(pool))] == [n for n in range(first, first + more + 1) if n <= limit]


def test_the_limit_may_stand_in_a_range():
    pool = Pool(("10000-limit",), 999_999)
    assert len(pool) == 990_000
    assert pool[0] == 10_000 and pool[len(pool) - 1] == 999_999
    assert len(Pool(("10000-limit",), 9_999)) == 0


def test_each_pattern_is_picked_as_often_as_any_other():
    pool = Pool(("#00", "###"), 999)
    random = Random(1)
    picked = [pool.pick(random) for _ in range(1_000)]
    assert all(number in pool for number in picked)
    # 9 numbers of 738 are whole hundreds; by size they would come about 12 times.
    assert 430 <= sum(number % 100 == 0 for number in picked) <= 570


def test_numbers_to_avoid_come_only_for_want_of_others():
    assert {Pool(("1-5",), 9).pick(Random(seed), avoid=(1, 2)) for seed in range(40)} == {3, 4, 5}
    assert Pool(("7",), 9).pick(Random(0), avoid=(7,)) == 7


@pytest.mark.parametrize("pattern", ["", "*5", "0#", "x", "5-", "[]1"])
def test_what_describes_no_numbers_is_refused(pattern):
    with pytest.raises(SayitError, match="describes no numbers"):
        len(Pool((pattern,), 99))
