"""Arguments that nobody types on purpose, names that paint, and outputs that cannot be written: one line and status 2."""

import json
import os
import subprocess
import sys
from types import SimpleNamespace

import numpy as np
import pytest
import soundfile

from sayit.commands import main
from sayit.hearing.heard import Heard
from tests.commands.program import COMMAND, environment

LONG = "x" * 300
no_windows = pytest.mark.skipif(os.name == "nt", reason="POSIX names")


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    return tmp_path / "home"


@pytest.fixture
def deaf(monkeypatch):
    """A listener that is there at once: what is heard is no matter here."""
    listener = SimpleNamespace(hear=lambda samples: Heard("", 1.0, True, (), "deaf", len(samples) / 16_000, 0.0))
    monkeypatch.setattr("sayit.hearing.listener.open_listener", lambda name: listener)


def refused(capsys, *args):
    assert main(args) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("sayit: ") and line.isprintable()
    return line


@pytest.mark.parametrize("command", [("practise", "--questions", "1"), ("sheet", "--step", "teens")])
@pytest.mark.parametrize("seed", ["9" * 19, "-" + "9" * 40, "1.5", "\u0665", "x" * 5000])
def test_a_seed_that_no_record_can_hold(capsys, command, seed):
    line = refused(capsys, *command, "--seed", seed)
    assert "--seed" in line and len(line) < 200


@pytest.mark.parametrize(
    "args",
    [
        ("hear", LONG), ("hear", "x/" * 4000), ("backup", LONG), ("restore", LONG), ("say", "5", "--out", f"{LONG}.wav"),
        ("practise", "--answers", LONG), ("sheet", "--step", "teens", "--out", LONG), ("models", "--check", LONG),
        ("models", "--install", LONG), ("restore", "x\0y"),
    ],
)  # fmt: skip
def test_a_path_that_no_file_can_have(capsys, args):
    main(["children", "--add", "Pip"])
    capsys.readouterr()
    refused(capsys, *args)


@pytest.mark.parametrize(
    "args",
    [
        ("children", "--add", "{}"), ("children", "--child", "{}"), ("forget", "{}", "--yes"),
        ("report", "--child", "{}"), ("hear", "{}"), ("restore", "{}"), ("read", "--form", "{}"), ("name", "{}"), ("{}",),
        ("practise", "--answers", "{}"), ("sheet", "--step", "{}"), ("export", "--since", "{}"),
    ],
    ids=lambda args: " ".join(args).replace("{}", "X"),
)  # fmt: skip
@pytest.mark.parametrize("odd", ["Wr\udcffen", "Wr\x1b[31men", "Wr\u202een\x9b1m"], ids=["bytes", "paint", "turned"])
def test_signs_that_are_no_letters(capsys, args, odd):
    """What the shell hands on of undecodable bytes, and what would paint the terminal."""
    main(["children", "--add", "Pip"])
    capsys.readouterr()
    refused(capsys, *(arg.replace("{}", odd) for arg in args))


@no_windows
def test_names_of_files_are_written_out(capfd, tmp_path, deaf):
    name = "five\x1b[31m\x9b\u202e.wav"
    soundfile.write(tmp_path / "five.wav", np.zeros(8_000, np.float32), 16_000)
    (tmp_path / "five.wav").rename(name)
    main(["children", "--add", "Pip"])
    assert main(["hear", name]) == 0
    assert main(["backup", f"{name}.sqlite3"]) == 0
    assert main(["restore", f"{name}.sqlite3"]) == 0
    assert main(["hear", "--json", name]) == 0
    shown = capfd.readouterr()
    assert "five\\x1b[31m\\x9b\\u202e.wav" in shown.out
    assert (shown.out + shown.err).replace("\n", "").isprintable()
    assert json.loads(shown.out.splitlines()[-1])["file"] == name


@no_windows
def test_a_file_with_undecodable_bytes_in_its_name_is_heard(capfd, tmp_path, deaf):
    soundfile.write(tmp_path / "five.wav", np.zeros(8_000, np.float32), 16_000)
    (tmp_path / "five.wav").rename("five\udcff.wav")
    assert main(["hear", "five\udcff.wav", "--json"]) == 0
    assert json.loads(capfd.readouterr().out)["file"] == "five\udcff.wav"


def test_hear_says_how_long_is_too_long(capsys, tmp_path):
    soundfile.write(tmp_path / "long.flac", np.zeros(16_000 * 31, np.float32), 16_000)
    assert "long.flac is too long: 31 s, at most 28." in refused(capsys, "hear", "long.flac")


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="Linux")  # noqa: PTH110, it is no file
def test_an_output_that_is_full_is_told(tmp_path):
    with open("/dev/full", "w") as full:  # noqa: PTH123, it is no file
        done = subprocess.run(
            [*COMMAND, "name", "45"], env=environment(tmp_path), stdout=full, stderr=subprocess.PIPE, text=True
        )
    assert done.returncode == 2
    (line,) = done.stderr.splitlines()
    assert "No space left" in line


@no_windows
def test_no_output_at_all_is_no_error(tmp_path):
    closed = f"{sys.executable} -m sayit name 45 >&- 2>&-"
    assert subprocess.run(["sh", "-c", closed], env=environment(tmp_path)).returncode == 0
