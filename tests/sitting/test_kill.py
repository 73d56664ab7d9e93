"""kill -9 at any moment loses no answer that was judged.

What the program has told (a "judged" line is written after the answer is kept)
is compared with what the record holds afterwards.
"""

import json
import os
import random
import shutil
import signal
import subprocess
import threading

import pytest

from sayit.store import open_record
from tests.commands.program import COMMAND, environment

pytestmark = pytest.mark.skipif(os.name == "nt", reason="POSIX signals")


def judged(lines):
    """Events of the whole lines that came out before the kill."""
    events = [json.loads(line) for line in lines if line.endswith(b"\n")]
    return [event for event in events if event["event"] == "judged"]


def killed_after(count, since, seconds, command, home, press=lambda event: None, **options):
    """Start, kill a moment after the ``count``-th event ``since``, and give back what was told until then.

    ``press`` sees each event.
    """
    program = subprocess.Popen(command, env=environment(home), stdout=subprocess.PIPE, **options)
    kill = threading.Timer(seconds, program.send_signal, (signal.SIGKILL,))
    lines = []
    for line in program.stdout:
        lines.append(line)
        if line.endswith(b"\n"):
            event = json.loads(line)["event"]
            count -= event == since
            if not count and kill.ident is None:
                kill.start()
            press(event)
    assert program.wait() == -signal.SIGKILL, "it ended by itself before the kill"
    program.stdout.close()
    return judged(lines)


def compare(home, told_in_all):
    with open_record(home / "record.sqlite3") as record:
        kept = {answer.id: answer for answer in record.answers()}
    for event in told_in_all:
        answer = kept[event["id"]]
        assert (answer.asked, answer.verdict, list(answer.reasons)) == (
            event["asked"],
            event["verdict"],
            event["reasons"],
        )
    # The one being told when the kill came may be kept without having been told.
    return len(kept) - len(told_in_all)


def test_sittings_judged_by_key_and_killed(tmp_path, long):
    """A terminal with a parent who never stops pressing keys; each sitting goes on in the same record."""
    import pty

    home = tmp_path / "home"
    random_ = random.Random(20260302)
    told_in_all, kills = [], 40 if long else 10
    typing, terminal = pty.openpty()

    def press(event):
        keys = {"parent-needed": random_.choice([b"r", b"w"]), "judged": random_.choice([b"g", b"rg", b"wg"])}
        os.write(typing, keys.get(event, b""))

    for _ in range(kills):
        command = [*COMMAND, "practise", "--json", "--no-voice", "--range", "0-9999"]
        told_in_all += killed_after(
            random_.randrange(2, 20), "speaking", random_.uniform(0, 0.02), command, home, press, stdin=terminal
        )
    os.close(typing)
    os.close(terminal)
    assert len(told_in_all) > kills, "too few answers to tell anything"
    assert 0 <= compare(home, told_in_all) <= kills


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng is missing: apt-get install espeak-ng")
def test_sittings_with_the_listener_at_work_and_killed(tmp_path, spoken, long):
    home, folder = tmp_path / "home", tmp_path / "answers"
    folder.mkdir()
    for number in range(41, 100):
        shutil.copy(spoken("forty five"), folder / f"{number}-plain.wav")
    random_ = random.Random(20260303)
    command = [*COMMAND, "practise", "--answers", str(folder), "--json"]
    told_in_all, kills = [], 4 if long else 2
    for _ in range(kills):
        told_in_all += killed_after(
            random_.randrange(1, 3), "judged", random_.uniform(0, 0.5), command, home, stdin=subprocess.DEVNULL
        )
    assert 0 <= compare(home, told_in_all) <= kills


def test_a_correction_told_is_a_correction_kept(tmp_path, spoken):
    """The override is committed before it is told, like the verdict."""
    import pty

    folder = tmp_path / "answers"
    folder.mkdir()
    shutil.copy(spoken("forty five"), folder / "46-plain.wav")
    typing, terminal = pty.openpty()
    program = subprocess.Popen(
        [*COMMAND, "practise", "--answers", str(folder), "--json"],
        env=environment(tmp_path / "home"),
        stdin=terminal,
        stdout=subprocess.PIPE,
    )
    for line in program.stdout:
        event = json.loads(line)
        if event["event"] == "judged":
            os.write(typing, b"r")
        if event["event"] == "corrected":
            break
    program.kill()
    program.wait()
    program.stdout.close()
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        (answer,) = record.answers()
    assert (answer.verdict, answer.override) == ("wrong", "right")
