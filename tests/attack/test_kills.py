"""kill -9 in the middle of practice at the desk and in the terminal, of restore, forget and backup."""

import json
import os
import random
import signal
import subprocess
import sys
import time

import pytest

from sayit.commands import main
from sayit.page.desk import Desk
from sayit.store import back_up, open_record
from tests.attack.family import answers_of, code_of, crossed, forked, keep, settle
from tests.commands.program import COMMAND, environment

pytestmark = [pytest.mark.attack, pytest.mark.skipif(os.name == "nt", reason="POSIX signals")]


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    settle(tmp_path / "home" / "record.sqlite3")
    return tmp_path / "home" / "record.sqlite3"


def killed(do, longest, draw):
    """Whether it was killed before its end."""
    pid = forked(do)
    time.sleep(draw.uniform(0, longest))
    os.kill(pid, signal.SIGKILL)
    code = code_of(pid)
    assert code in (0, -signal.SIGKILL), code
    return code != 0


def quietly(*args):
    """The call of a command whose output goes nowhere."""

    def do():
        sys.stdout = sys.stderr = open(os.devnull, "w")  # noqa: PTH123, SIM115
        return main(list(args))

    return do


def measured(do):
    began = time.monotonic()
    assert code_of(forked(do)) == 0
    return time.monotonic() - began


def check(tally, path, newt):
    tally.lost += answers_of(path, "Newt") != newt
    tally.crossed += crossed(path)


def test_backup(home, tmp_path, tally, long):
    draw, newt, times = random.Random(1), answers_of(home, "Newt"), 40 if long else 5
    longest = measured(quietly("backup", "first.sqlite3"))
    for number in range(times):
        copy = tmp_path / f"copy{number}.sqlite3"
        with tally.one():
            killed(quietly("backup", str(copy)), longest, draw)
        check(tally, home, newt)
        if copy.exists():
            check(tally, copy, newt)
    tally.nothing_lost()


def test_forget(home, tally, long):
    draw, newt, times = random.Random(2), answers_of(home, "Newt"), 40 if long else 5
    whole, longest = home.read_bytes(), measured(quietly("forget", "Wren", "--yes"))
    for _ in range(times):
        home.write_bytes(whole)
        with tally.one():
            killed(quietly("forget", "Wren", "--yes"), longest, draw)
        wren = answers_of(home, "Wren")
        # All of it or nothing; and what is left can be forgotten again.
        tally.lost += wren is not None and len(wren) != 40
        check(tally, home, newt)
        if wren is not None:
            assert code_of(forked(quietly("forget", "Wren", "--yes"))) == 0
        assert not [file for file in home.parent.rglob("*") if file.is_file() and b"Wren" in file.read_bytes()]
    tally.nothing_lost()


def test_restore(home, tmp_path, tally, long):
    draw, newt, times = random.Random(3), answers_of(home, "Newt"), 40 if long else 5
    copy = back_up(tmp_path / "copy.sqlite3")
    with open_record() as record:
        pip = record.add_child("Pip", at=newt[0].judged_at)
        keep(record, record.start_session(pip, at=newt[0].judged_at, source="keys", seed=1), 1, newt[0].judged_at)
        record.set_audio_days(record.child("Wren"), 0)
    later = back_up(tmp_path / "later.sqlite3")
    longest = measured(quietly("restore", str(copy)))
    for number in range(times):
        source = (later, copy)[number % 2]
        with tally.one():
            killed(quietly("restore", str(source)), longest, draw)
        check(tally, home, newt)
        pip = answers_of(home, "Pip")
        tally.lost += pip is not None and len(pip) != 1
        with open_record() as record:
            assert record.child("Wren").keep_audio_days == 0, "no kill lets consent come back"
        for kept in home.parent.glob("record-before-*.sqlite3"):
            check(tally, kept, newt)
            kept.unlink()
    tally.nothing_lost()


def test_desk(home, tally, long):
    """What the desk says it has kept is kept: children, their settings, the household's."""
    draw, newt, times = random.Random(4), answers_of(home, "Newt"), 40 if long else 4

    def desk(write, first):
        def do():
            nothing = lambda *_: None  # noqa: E731
            desk = Desk(tell_screen=nothing, tell_desks=nothing, changed=nothing, listener=None)
            for number in range(first, first + 500):
                name = f"Child {number}"
                desk.wants("add-child", {"name": name})
                desk.wants("arrange", {"child": name, "values": {"pace": 1 + number % 9 / 10, "forms": ["plain"]}})
                os.write(write, f"{name}\n".encode())

        return do

    told = []
    for number in range(times):
        read, write = os.pipe()
        with tally.one():
            pid = forked(desk(write, 1000 * number))
            os.close(write)
            with os.fdopen(read) as lines:
                told += [lines.readline().strip() for _ in range(draw.randrange(1, 4))]
                time.sleep(draw.uniform(0, 0.02))
                os.kill(pid, signal.SIGKILL)
                told += [line.strip() for line in lines if line.endswith("\n")]
            assert code_of(pid) == -signal.SIGKILL
        check(tally, home, newt)
    with open_record() as record:
        kept = {child.name: child.forms for child in record.children()}
    tally.lost += sum(kept.get(name) != ("plain",) for name in told)
    assert len(told) >= times
    tally.nothing_lost()


def test_practice_in_the_terminal(home, tmp_path, tally, long):
    import pty

    draw, newt, told = random.Random(5), answers_of(home, "Newt"), []
    typing, terminal = pty.openpty()
    for _ in range(40 if long else 1):
        program = subprocess.Popen(
            [*COMMAND, "practise", "--child", "Wren", "--json", "--no-voice", "--range", "0-9999"],
            env=environment(home.parent), stdin=terminal, stdout=subprocess.PIPE,
        )  # fmt: skip
        last = draw.randrange(2, 20)
        with tally.one():
            for count, line in enumerate(program.stdout):
                event = json.loads(line) if line.endswith(b"\n") else {"event": ""}
                if event["event"] == "judged":
                    told.append(event["id"])
                os.write(typing, {"parent-needed": b"r", "judged": b"g"}.get(event["event"], b""))
                if count == last:
                    time.sleep(draw.uniform(0, 0.02))
                    program.kill()
            program.wait()
            program.stdout.close()
        check(tally, home, newt)
    kept = {answer.id for answer in answers_of(home, "Wren")}
    tally.lost += len(set(told) - kept)
    tally.nothing_lost()
