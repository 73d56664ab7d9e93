"""``sayit`` without a command: the desk where a browser can be seen, practice in the terminal elsewhere."""

import os
import re
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
import webbrowser
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sayit.commands.main import _with_command
from sayit.store import open_record

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems tell by themselves")
ABOUT = ("DISPLAY", "WAYLAND_DISPLAY", "SSH_CONNECTION", "SSH_TTY", "CI", "BROWSER")


@pytest.fixture
def browser(tmp_path):
    """A browser that notes the address it is given, and what it reads there."""
    script = tmp_path / "browser"
    script.write_text(
        "#!/bin/sh\n"
        f'cd {tmp_path}\nstat -c %a "${{1#file://}}" > mode\ncp "${{1#file://}}" read\necho "$1" > new && mv new opened\n'
    )
    script.chmod(0o755)
    return script


def _post(origin, key):
    request = urllib.request.Request(f"{origin}/key", urllib.parse.urlencode({"key": key}).encode())
    with urllib.request.urlopen(request) as answer:
        return answer.headers["set-cookie"].partition(";")[0]


def test_the_desk_is_opened_in_the_browser_by_a_private_file(browser, tmp_path):
    """The key stands neither on the browser's command line nor in an address, works once, and the file goes."""
    usual = {name: value for name, value in os.environ.items() if name not in ABOUT}
    home = tmp_path / "home"
    with open_record(home / "record.sqlite3") as record:
        record.set_audio_days(record.add_child("Pip", at=datetime(2026, 3, 2, tzinfo=UTC)), 7)
    program = subprocess.Popen(
        [sys.executable, "-m", "sayit"],
        env={**usual, "SAYIT_HOME": str(home), "HOME": str(home), "DISPLAY": ":0", "BROWSER": f"{browser} %s"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        until = time.monotonic() + 60
        while not (tmp_path / "opened").exists():
            assert time.monotonic() < until and program.poll() is None, program.communicate()
            time.sleep(0.05)
        file = Path((tmp_path / "opened").read_text().strip().removeprefix("file://"))
        assert file.parent == home and (tmp_path / "mode").read_text().strip() == "600"
        origin, key = re.search(
            r'action="(http://127.0.0.1:\d+)/key".*value="([^"]+)"', (tmp_path / "read").read_text()
        ).groups()
        assert key not in file.name
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(f"{origin}/desk")
        assert b"terminal" in refused.value.read()
        cookie = _post(origin, key)
        asked = urllib.request.Request(f"{origin}/desk", headers={"Cookie": cookie})
        with urllib.request.urlopen(asked) as page:
            assert page.status == 200
        assert not file.exists() and list(home.glob("*.html")) == []
        with pytest.raises(urllib.error.HTTPError):
            _post(origin, key)
    finally:
        program.send_signal(signal.SIGINT)
        told = program.communicate(timeout=30)[0]
    assert program.returncode == 130 and f"{origin}/desk?key=" in told and key not in told
    assert "answer of Pip is recorded, and deleted at the next use after 7 days" in told and "no assessment" in told


@pytest.mark.parametrize(
    ("around", "command"),
    [
        ({"DISPLAY": ":0"}, "desk"),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "desk"),
        ({}, "practise"),
        ({"DISPLAY": ":0", "SSH_CONNECTION": "192.0.2.1 1 192.0.2.2 22"}, "practise"),
        ({"DISPLAY": ":0", "CI": "true"}, "practise"),
    ],
)
def test_the_terminal_is_used_where_no_browser_is_seen(browser, monkeypatch, around, command):
    for name in ABOUT:
        monkeypatch.delenv(name, raising=False)
    for name, value in around.items():
        monkeypatch.setenv(name, value)
    webbrowser.register("note", None, webbrowser.GenericBrowser(str(browser)), preferred=True)
    try:
        assert _with_command([]) == [command]
        assert _with_command(["--child", "Pip"]) == ["practise", "--child", "Pip"]
        assert _with_command(["--help"]) == ["--help"]
    finally:
        webbrowser._tryorder.remove("note")
        del webbrowser._browsers["note"]


def test_a_display_without_a_browser_means_the_terminal(monkeypatch):
    for name in ABOUT:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("DISPLAY", ":0")

    def none():
        raise webbrowser.Error("could not locate runnable browser")

    monkeypatch.setattr(webbrowser, "get", none)
    assert _with_command([]) == ["practise"]
