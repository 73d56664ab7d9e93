"""Damaged records through every command: one line at worst, the file as it was, and never a new record in silence."""

import random

import pytest

from sayit import SayitError
from sayit.store import open_record
from tests.attack.family import answers_of, settle

pytestmark = pytest.mark.attack

COMMANDS = (
    ("children",), ("plan", "--child", "Newt"), ("sheet", "--child", "Newt"), ("report", "--child", "Newt"),
    ("export", "--child", "Newt"), ("backup", "copy.sqlite3"), ("practise", "--answers", "answers", "--child", "Newt"),
    ("desk", "--no-browser"), ("ready",), ("children", "--child", "Newt", "--pace", "1.2"), ("forget", "Wren", "--yes"),
    ("restore", "whole.sqlite3"),
)  # fmt: skip


def spoilt(whole, draw):
    """The bytes of a record, damaged in one of the ways in which files are."""
    content = bytearray(whole)
    page = draw.randrange(len(whole) // 4096) * 4096
    match draw.randrange(8):
        case 0 | 1:
            for _ in range(draw.choice((1, 3, 20))):
                content[draw.randrange(len(content))] = draw.randrange(256)
        case 2 | 3:
            # A letter of a text, which SQLite does not look at.
            texts = [spot for spot, byte in enumerate(content) if 0x20 <= byte < 0x7F and spot > 100]
            for _ in range(draw.choice((1, 30))):
                content[draw.choice(texts)] = draw.choice((0x20, 0x31, 0x39, 0x5B, 0x7A, 0xFF, 0x1B))
        case 4:
            del content[draw.choice((0, 1, draw.randrange(len(content)))) :]
        case 5:
            content[page : page + 4096] = bytes(4096)
        case 6:
            other = draw.randrange(len(whole) // 4096) * 4096
            content[page : page + 4096] = whole[other : other + 4096]
        case 7:
            content[page + 3 : page + 3] = b"\n"
    return bytes(content)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sayit.page.server.serve", lambda **_: None)
    (tmp_path / "answers").mkdir()
    (tmp_path / "answers" / "13-plain.wav").write_bytes(b"RIFF")
    settle(tmp_path / "home" / "record.sqlite3")
    return tmp_path / "home" / "record.sqlite3"


def test_every_command(home, tmp_path, tally, long, capsys, monkeypatch):
    draw, whole, newt = random.Random(6), home.read_bytes(), answers_of(home, "Newt")
    (tmp_path / "whole.sqlite3").write_bytes(whole)
    # Papers and recogniser are not what is attacked; a few times they are the real ones.
    real = 5 if long else 0
    for number in range(200 if long else 2):
        if number == real:
            monkeypatch.setattr("sayit.commands.papers.put", lambda *_, **__: 0)
            monkeypatch.setattr("sayit.commands.ready._recogniser", lambda: None)
            monkeypatch.setattr("sayit.commands.ready._conclusion", lambda *_: "")
        content = spoilt(whole, draw)
        for args in COMMANDS:
            for left in home.parent.iterdir():
                left.unlink() if left.is_file() else None
            (tmp_path / "copy.sqlite3").unlink(missing_ok=True)
            home.write_bytes(content)
            # What is missing on this machine is told by `ready` with 1.
            code = tally.call(capsys, args, codes=(0, 1, 2) if args == ("ready",) else (0, 2))
            try:
                with open_record() as record:
                    gone = content != whole and not record.children()
            except SayitError:
                gone = False
                kept = [home, *home.parent.glob("record-before-*")]
                assert any(file.read_bytes() == content for file in kept if file.is_file()) or code == 0, args
            tally.lost += gone
            if args[0] == "restore":
                assert code == 0
                tally.lost += answers_of(home, "Newt") != newt
    tally.nothing_lost()


def test_as_a_backup(home, tmp_path, tally, long, capsys):
    draw, whole, newt = random.Random(7), home.read_bytes(), answers_of(home, "Newt")
    for _ in range(200 if long else 4):
        home.write_bytes(whole)
        (tmp_path / "copy.sqlite3").write_bytes(spoilt(whole, draw))
        code = tally.call(capsys, ("restore", "copy.sqlite3"))
        if code == 2:
            tally.lost += answers_of(home, "Newt") != newt
            assert not list(home.parent.glob("record-before-*"))
        for kept in home.parent.glob("record-before-*"):
            tally.lost += answers_of(kept, "Newt") != newt
            kept.unlink()
    tally.nothing_lost()
