"""A disk that is full, folders that may not be written, two programs at once, and clocks and zones that change."""

import os
import random
import sys
import time
from datetime import datetime, timedelta

import pytest

from sayit.commands import household, main
from sayit.store import open_record
from tests.attack.family import answers_of, code_of, crossed, forked, keep, settle

pytestmark = [pytest.mark.attack, pytest.mark.skipif(os.name == "nt", reason="POSIX")]

WRITING = (
    ("children", "--add", "Pip"), ("children", "--child", "Wren", "--pace", "1.3"), ("backup", "copy.sqlite3"),
    ("forget", "Wren", "--yes"), ("restore", "whole.sqlite3"), ("export", "--child", "Wren"), ("plan", "--child", "Wren"),
    ("desk", "--no-browser"), ("practise", "--answers", "answers", "--child", "Wren"),
)  # fmt: skip
NOBODY = 65534


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sayit.page.server.serve", lambda **_: None)
    # The typesetter has threads, and a fork of a process with threads may wait for ever.
    monkeypatch.setattr("sayit.report.Paper.pdf", lambda _: b"%PDF")
    (tmp_path / "answers").mkdir()
    (tmp_path / "answers" / "13-plain.wav").write_bytes(b"RIFF")
    settle(tmp_path / "home" / "record.sqlite3")
    (tmp_path / "whole.sqlite3").write_bytes((tmp_path / "home" / "record.sqlite3").read_bytes())
    return tmp_path / "home" / "record.sqlite3"


def told(args, before=lambda: None):
    """The exit status of a call in a process of its own, and what it said."""
    read, write = os.pipe()

    def do():
        sys.stdout, sys.stderr = open(os.devnull, "w"), os.fdopen(write, "w")  # noqa: PTH123, SIM115
        before()
        return main(list(args))

    pid = forked(do)
    os.close(write)
    with os.fdopen(read) as lines:
        return code_of(pid), lines.read()


def count(tally, args, before=lambda: None, codes=(0, 2)):
    with tally.one():
        code, said = told(args, before)
    wrong = code not in codes or (code == 2 and (len(said.splitlines()) != 1 or not said.startswith("sayit: ")))
    tally.odd_codes += wrong
    tally.tracebacks += "Traceback" in said
    if wrong:
        print(args, code, said)
    return code


def test_a_disk_that_is_full(home, tmp_path, tally, long):
    """No file may grow past a size drawn at random: writes fail somewhere in the middle, as on a full disk."""
    import resource

    draw, newt, whole = random.Random(10), answers_of(home, "Newt"), home.read_bytes()
    refused = 0
    for number in range(120 if long else 9):
        args = WRITING[number % len(WRITING)]
        size = draw.choice((0, 4096, draw.randrange(2 * len(whole))))
        limit = lambda size=size: resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))  # noqa: E731
        refused += count(tally, args, limit, codes=(0, 1, 2)) == 2
        tally.lost += answers_of(home, "Newt") != newt
        wren = answers_of(home, "Wren")
        tally.lost += len(wren or ()) != 40 and args[0] != "forget"
        for left in (*home.parent.glob("record*"), tmp_path / "copy.sqlite3"):
            left.unlink(missing_ok=True)
        home.write_bytes(whole)
    assert refused
    tally.nothing_lost()


@pytest.mark.skipif(getattr(os, "geteuid", lambda: 0)() != 0, reason="becomes somebody else")
def test_what_may_not_be_written(home, tmp_path, tally):
    """Somebody who may read everything and write nothing; and who may not even look into a folder."""
    # What is imported now need not be read by somebody who may not.
    main(["practise", "--answers", "answers", "--child", "Wren"])
    main(["export", "--child", "Nobody"])
    main(["hear", "answers/13-plain.wav"])
    whole = home.read_bytes()
    for path in (tmp_path, *tmp_path.rglob("*"), *tmp_path.parents[:2]):
        path.chmod(0o755 if path.is_dir() else 0o644)
    (tmp_path / "closed").mkdir(mode=0o700)
    calls = (*WRITING, ("backup", "closed/copy.sqlite3"), ("restore", "closed/copy.sqlite3"), ("hear", "closed/a.wav"))
    for args in calls:
        assert count(tally, args, lambda: os.setuid(NOBODY)) == 2, args
        assert home.read_bytes() == whole
    # The same where only the folder of the backup is closed.
    for path in (home.parent, *home.parent.iterdir()):
        os.chown(path, NOBODY, NOBODY)
    for args in calls[-3:]:
        assert count(tally, args, lambda: os.setuid(NOBODY)) == 2, args
    tally.nothing_lost()


def test_two_programs_at_once(home, tmp_path, tally, long):
    """One practises with Newt and Wren while others back up, add, forget and add again."""
    newt = len(answers_of(home, "Newt"))

    def practise(who, many):
        def do():
            with open_record() as record:
                child = record.child(who)
                session = record.start_session(child, at=datetime.now().astimezone(), source="keys", seed=1)
                for number in range(many):
                    keep(record, session, number, datetime.now().astimezone())

        return do

    many = 150 if long else 20
    pids = [forked(practise("Newt", many)), forked(practise("Wren", many)), forked(practise("Newt", many))]
    for number in range(40 if long else 3):
        for args in (("children", "--add", "Pip"), ("backup", f"copy{number}.sqlite3"), ("forget", "Pip", "--yes")):
            assert count(tally, args) == 0
        tally.crossed += crossed(tmp_path / f"copy{number}.sqlite3")
    with tally.one():
        assert [code_of(pid) for pid in pids] == [0, 0, 0]
    tally.lost += newt + 2 * many - len(answers_of(home, "Newt"))
    tally.lost += 40 + many - len(answers_of(home, "Wren"))
    tally.crossed += crossed(home)
    tally.nothing_lost()


def test_clocks_and_zones(home, tally, long):
    newt = answers_of(home, "Newt")
    zones = (
        "UTC",
        "Pacific/Kiritimati",
        "Pacific/Niue",
        "America/St_Johns",
        "Europe/London",
        "Asia/Kathmandu",
        "Nowhere/None",
    )
    clocks = (0, 366, -366, 4000, -4000, -19_000, 20, -20)
    draw = random.Random(11)
    for _ in range(100 if long else 6):
        zone, days = draw.choice(zones), draw.choice(clocks)

        class Clock(datetime):
            @classmethod
            def now(cls, tz=None, days=days):
                return datetime.now(tz) + timedelta(days=days)

        def changed(zone=zone, clock=Clock):
            os.environ["TZ"] = zone
            time.tzset()
            household.datetime = clock
            import datetime as dt

            dt.datetime = clock

        args = draw.choice(
            (("plan",), ("report",), ("export",), ("sheet",), ("children",), ("children", "--pace", "1.1"))
        )
        count(tally, (*args, "--child", "Newt"), changed, codes=(0, 1, 2))
        tally.lost += [one.judged_at for one in answers_of(home, "Newt")] != [one.judged_at for one in newt]
    tally.crossed += crossed(home)
    tally.nothing_lost()
