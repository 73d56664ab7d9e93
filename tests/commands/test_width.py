"""What a parent reads in a terminal fits into 80 columns, which every terminal has (common practice, no source)."""

import pytest

from sayit.commands import main


@pytest.fixture
def narrow(monkeypatch, tmp_path):
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    assert main(["children", "--add", "Pip", "--keep-audio", "30", "--forms", "explicit"]) == 0
    return tmp_path


def test_lines_fit_into_the_terminal(narrow, capsys):
    for command in (
        ["children"],
        ["children", "--step", "list"],
        ["plan"],
        ["sheet", "--out", "."],
        ["models"],
        ["ready"],
        ["name", "4030"],
        ["judge", "four-ten", "--asked", "430"],
        ["report", "--demo", "--help"],
        ["practice", "--help"],
        ["practise", "--help"],
    ):
        assert main(command) in (0, 1), command
        shown = capsys.readouterr().out
        assert shown
        # A path is never broken.
        assert not [line for line in shown.splitlines() if len(line) > 80 and "/" not in line], command


def test_the_other_spelling_is_the_same_command(capsys):
    for spelling in ("practise", "practice"):
        assert main([spelling, "--questions", "0"]) == 2
        assert "from 1 on" in capsys.readouterr().err
