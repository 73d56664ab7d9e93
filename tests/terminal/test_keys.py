"""One key at a time, from a real terminal (a pseudo-terminal of the system)."""

import os
import sys
import threading
from contextlib import suppress
from pathlib import Path

import pytest

from sayit.sitting.parent import Choice
from sayit.terminal.keys import BACK, ENTER, open_keys
from sayit.terminal.typed import KeyParent

pytestmark = pytest.mark.skipif(os.name == "nt", reason="POSIX terminals")


@pytest.fixture
def terminal(monkeypatch):
    """Descriptor to type into; the other end is standard input."""
    import pty

    typing, reading = pty.openpty()
    with open(reading, closefd=False) as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        yield typing
    for descriptor in (typing, reading):
        with suppress(OSError):
            os.close(descriptor)


def test_keys_come_without_enter_and_in_order(terminal):
    with open_keys() as keys:
        os.write(terminal, b"rW 70\x7f\n")
        assert [keys.wait(1) for _ in range(7)] == ["r", "w", " ", "7", "0", BACK, ENTER]
        assert keys.wait(0) is None


def test_waiting_ends_with_the_key_or_the_time(terminal):
    with open_keys() as keys:
        assert keys.wait(0.2) is None
        threading.Timer(0.2, os.write, (terminal, b"s")).start()
        assert keys.wait(None) == "s"


def test_arrows_function_keys_and_other_signs_are_no_keys(terminal):
    with open_keys() as keys:
        os.write(terminal, b"\x1b[A")
        assert keys.wait(0.1) is None
        os.write(terminal, b"\x1bOQ")
        assert keys.wait(0.1) is None
        os.write(terminal, "é²-".encode() + b"a")
        assert keys.wait(1) == "a"


def test_the_terminal_is_left_as_it_was(terminal):
    import termios

    before = termios.tcgetattr(sys.stdin.fileno())
    with suppress(RuntimeError), open_keys():
        assert termios.tcgetattr(sys.stdin.fileno()) != before
        raise RuntimeError
    assert termios.tcgetattr(sys.stdin.fileno()) == before


def test_a_terminal_that_has_gone_means_stop(terminal):
    with open_keys() as keys:
        os.close(terminal)
        with pytest.raises(EOFError):
            keys.wait(1)
        assert KeyParent(keys).decide(None) is Choice.STOP


def test_where_there_is_no_terminal_there_are_no_keys(monkeypatch):
    with Path(os.devnull).open() as nothing:
        monkeypatch.setattr(sys, "stdin", nothing)
        with open_keys() as keys:
            assert keys is None
    monkeypatch.setattr(sys, "stdin", None)
    with open_keys() as keys:
        assert keys is None


def test_keys_without_meaning_are_passed_over(terminal):
    with open_keys() as keys:
        os.write(terminal, b"xyzq")
        assert KeyParent(keys).decide(1) is Choice.STOP
