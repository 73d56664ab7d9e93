"""The key to the desk in a real browser: read from a private file, used up, and in no history."""

import json
import re
import sys
from pathlib import Path

import pytest

from tests.page.conftest import DESK

WITH_BROWSER = tuple(word for word in DESK if word != "--no-browser")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems open a browser by themselves")
def test_a_browser_gets_in_by_the_file_and_a_second_one_by_the_newest_address(household, chromium, tmp_path):
    script = tmp_path / "browser"
    script.write_text(f'#!/bin/sh\necho "$1" > {tmp_path}/new && mv {tmp_path}/new {tmp_path}/opened\n')
    script.chmod(0o755)
    around = {"BROWSER": f"{script} %s", "DISPLAY": ":0", "HOME": str(tmp_path)}
    home = household(child="Pip", program=WITH_BROWSER, environment=around)
    context = chromium().new_context()
    page = context.new_page()
    while not (tmp_path / "opened").exists():
        page.wait_for_timeout(50)
    file = Path((tmp_path / "opened").read_text().strip().removeprefix("file://"))
    key = re.search(r'name="key" value="([^"]+)"', file.read_text())[1]
    page.goto(file.as_uri())
    page.wait_for_url(f"{home.origin}/desk")
    page.get_by_text("Ready when you are.").wait_for()
    assert not file.exists()
    visited = json.dumps(context.new_cdp_session(page).send("Page.getNavigationHistory"))
    assert key not in visited and home.origin in visited
    # The child's screen opens beside it as before, without a key.
    page.get_by_role("link", name="Open the child's screen").click()
    context.close()
    used = []
    for _ in range(2):
        used.append(home.address())
        other = chromium().new_context()
        page = other.new_page()
        page.goto(used[-1])
        page.wait_for_url(f"{home.origin}/desk")
        other.close()
    third = chromium().new_context()
    page = third.new_page()
    page.goto(used[0])
    page.get_by_text("Open the newest address").wait_for()
    third.close()
