import random

import pytest

from sayit.numbers import HIGHEST


@pytest.fixture(scope="session")
def values(long):
    """The numbers whose names are tested one by one: all of them with ``--long``.

    Else all below 10,000, so that each number of hundreds, tens and ones stands behind a thousand; every thousand
    with what a name's joints depend on behind it (nothing, one word, a ten, the first and the last hundred); and
    others drawn from all.
    """
    if long:
        return range(HIGHEST + 1)
    joints = (0, 1, 10, 13, 20, 99, 100, 101, 110, 999)
    edges = [thousand + rest for thousand in range(10_000, HIGHEST, 1_000) for rest in joints]
    return [*range(10_000), *edges, *random.Random(20260301).sample(range(10_000, HIGHEST + 1), 10_000)]
