"""Whatever is given, a refusal is one line that says what to do, and exit status 2."""

import os
import signal
import subprocess
import sys

import pytest

from sayit.commands import main
from tests.commands.program import COMMAND, environment, refused

BILLION = "1000000000"


@pytest.mark.parametrize("command", [("name",), ("say",), ("judge", "five", "--asked")])
@pytest.mark.parametrize(
    ("number", "clue"),
    [
        ("-5", "below zero"),
        ("\u22125", "below zero"),
        ("4.5", "whole number"),
        ("4,5", "whole number"),
        (".5", "whole number"),
        ("-4.5", "whole number"),
        (BILLION, "too large"),
        ("1,000,000", "too large"),
        ("9" * 10_000, "too large"),
        ("forty-five", "digits"),
        ("nan", "digits"),
        ("1e3", "digits"),
        ("4five", "digits"),
        ("\u0664\u0665", "not a number"),
        ("", "not a number"),
        ("12,34", "whole number"),
        ("--", None),
    ],
)
def test_numbers_that_are_none(capsys, command, number, clue):
    assert main([*command, number]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    (line,) = shown.err.splitlines()
    assert line.startswith("sayit: ") and "Traceback" not in line
    if clue:
        assert clue in line


@pytest.mark.parametrize(
    ("args", "clue"),
    [
        (("frobnicate",), "frobnicate"),
        (("childern",), "did you mean children?"),
        (("name",), "NUMBER"),
        (("read",), "WORDS"),
        (("judge", "five"), "--asked"),
        (("judge", "--asked", "45", "--form", "fancy", "five"), "plain"),
        (("say", "45", "--form", "fancy"), "plain"),
        (("say", "45", "--out", "/nowhere/at/all.wav"), "No such folder"),
        (("say", "45", "--out", "sound.txt"), ".wav"),
        (("hear",), "FILE"),
        (("name", "45", "--wrong"), "--wrong"),
        (("models", "--check", "nothing-like-it"), "sayit models"),
        (("models", "--install", "nothing-like-it"), "check the path"),
        (("models", "--sha256", "00"), "--install"),
        (("practise", "--answers", "nowhere"), "No such folder"),
        (("practise", "--range", "9"), "--range: "),
        (("practise", "--range", "9-3"), "3-9"),
        (("practise", "--range", "1-4000000"), "too large"),
        (("practise", "--minutes", "0"), "above 0"),
        (("practise", "--minutes", "soon"), "1.5"),
        (("practise", "--questions", "0"), "from 1 on"),
        (("practise", "--quiet", "-3"), "quiet"),
        (("practise", "--patience", "-3"), "patience"),
        (("practise", "--form", "fancy"), "plain"),
        (("practise", "--seed", "x"), "--seed"),
        (("practise", "--listener", "nobody"), "numbers-en"),
        (("--minutes", "-1"), "above 0"),
    ],
)
def test_arguments_that_make_no_sense(capsys, monkeypatch, tmp_path, args, clue):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    assert main(list(args)) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("sayit: ") and clue in line


def test_files_that_are_no_sound(sayit, tmp_path):
    text = tmp_path / "text.wav"
    text.write_text("forty-five\n" * 50)
    empty = tmp_path / "empty.wav"
    empty.touch()
    cut = tmp_path / "cut.wav"
    cut.write_bytes(b"RIFF\x24\x00\x00\x00WAVE")
    for file in (text, empty, cut, tmp_path / "missing.wav", tmp_path):
        line = refused(sayit("hear", str(file)))
        assert str(file) in line


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="needs a user whom permissions bind")
def test_a_file_that_may_not_be_read(sayit, spoken, tmp_path):
    file = tmp_path / "secret.wav"
    file.write_bytes(spoken("five").read_bytes())
    file.chmod(0)
    assert "secret.wav" in refused(sayit("hear", str(file)))


def test_a_damaged_record_is_told_and_left(sayit, tmp_path):
    home = tmp_path / "home"
    home.mkdir()
    (home / "record.sqlite3").write_text("not a record " * 100)
    before = (home / "record.sqlite3").read_bytes()
    answers = tmp_path / "answers"
    answers.mkdir()
    line = refused(sayit("practise", "--answers", str(answers)))
    assert "holds no recordings" in line
    (answers / "45-plain.wav").write_bytes(b"RIFF")
    assert "damaged" in refused(sayit("practise", "--answers", str(answers)))
    assert (home / "record.sqlite3").read_bytes() == before


def test_a_reader_that_has_had_enough_is_no_error(tmp_path):
    """head closes the pipe after one line; ten thousand numbers do not fit into it."""
    many = [str(number) for number in range(10_000)]
    with subprocess.Popen(
        [*COMMAND, "name", "--json", *many],
        env=environment(tmp_path),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as program:
        assert program.stdout.readline().startswith(b'{"value": 0')
        program.stdout.close()
        complaint = program.stderr.read()
    assert complaint == b""
    assert program.returncode == 0


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_ctrl_c_ends_with_130_and_one_line(tmp_path, spoken):
    files = [str(spoken("forty five"))] * 500
    program = subprocess.Popen(
        [*COMMAND, "hear", *files], env=environment(tmp_path), stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert b"forty five" in program.stdout.readline()
    program.send_signal(signal.SIGINT)
    _, complaint = program.communicate(timeout=120)
    assert program.returncode == 130
    assert b"Traceback" not in complaint
    assert complaint.strip().startswith(b"sayit: stopped")


def test_a_terminal_with_few_letters_is_no_error(sayit, tmp_path):
    finished = subprocess.run(
        [*COMMAND, "name", "45"],
        env={**environment(tmp_path), "PYTHONIOENCODING": "ascii"},
        capture_output=True,
    )
    assert finished.returncode == 0 and b"forty-five" in finished.stdout and finished.stderr == b""


def test_help_and_version_are_no_errors(sayit):
    assert sayit("--version").stdout.startswith("sayit ")
    assert "45-explicit.wav" in sayit("practise", "--help").stdout
    for command in ("name", "read", "judge", "hear", "say", "practise", "models", "ready"):
        assert command in sayit("--help").stdout


def test_starting_needs_nothing_heavy(tmp_path):
    """numpy, PortAudio and the recogniser are loaded by what needs them only."""
    script = (
        "import sys; from sayit.commands import main; main(['read', 'four ten five']); main(['name', '45']);"
        "print(sorted({'numpy', 'sounddevice', 'ctranslate2', 'rich', 'pyttsx3', 'sqlite3'} & set(sys.modules)))"
    )
    finished = subprocess.run([sys.executable, "-c", script], env=environment(tmp_path), capture_output=True, text=True)
    assert finished.stdout.splitlines()[-1] == "[]", finished.stderr
