"""Claps are counted, and knocks are not taken for them; more of both, and words, in ``tests.benchmarks.claps``."""

import numpy as np
import pytest

from sayit.sound.audio import RATE
from tests.benchmarks.claps import counted, knock, take


@pytest.mark.parametrize("count", range(1, 9))
def test_claps_in_a_quiet_room_are_counted(count):
    heard = counted(take(count, 2 * count + 1, hum=-65))
    assert (heard.count, heard.sure) == (count, True)
    assert heard.first < heard.last if count > 1 else heard.first == heard.last


def test_nothing_and_knocks_are_no_claps():
    assert counted(np.zeros(RATE, dtype=np.float32)).count == 0
    assert counted(take(4, 5, hum=-65, make=knock)).count == 0
