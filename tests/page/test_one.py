"""One desk for a household, however often it is started."""

import json
import os
import subprocess

from tests.page.conftest import DESK


def test_a_second_start_opens_the_first_desk_again(household):
    home = household()
    first = home.address()
    around = {**os.environ, "SAYIT_HOME": str(home.home)}
    second = subprocess.run(DESK, env=around, capture_output=True, text=True, timeout=120)
    assert json.loads(second.stdout) == {"event": "runs-already"}
    # The first one gives another address, with a key of its own.
    again = json.loads(home.process.stdout.readline())["address"]
    assert again.startswith(f"{home.origin}/desk?key=") and again != first
    home.close()
    assert not (home.home / "desk-here").exists()
    # What a program that was killed left behind keeps nobody out.
    (home.home / "desk-here").touch()
    third = household()
    assert third.home == home.home and third.address()
