"""Recordings go at the start of whatever opens the record; after `forget` no file of ours holds the name."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from sayit.commands import main
from sayit.store import Answer, keep_sound, open_record

LONG_AGO = datetime.now(UTC) - timedelta(days=40)


@pytest.fixture
def home(tmp_path, monkeypatch):
    """Wren, of whom a recording is past its days."""
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    with open_record() as record:
        wren = record.set_audio_days(record.add_child("Wren", at=LONG_AGO), 7)
        session = record.start_session(wren, at=LONG_AGO, source="microphone", seed=1)
        answer = Answer(
            session=session.id, child=wren.id, question="teens/say-back:plain/13", step="teens", activity="say-back",
            asked=13, form="plain", prompt="thirteen", verdict="right", asked_at=LONG_AGO, judged_at=LONG_AGO,
        )  # fmt: skip
        keep_sound(record, record.keep(answer), np.full(1600, 0.1, dtype=np.float32))
    assert recordings(tmp_path)
    return tmp_path / "home"


def recordings(place):
    return list(place.rglob("*.flac"))


@pytest.mark.parametrize(
    "args",
    [
        ("children",), ("plan",), ("sheet",), ("report",), ("export",), ("backup", "copy.sqlite3"), ("forget", "Newt", "--yes"),
        ("restore", "copy.sqlite3"), ("practise", "--answers", "answers"), ("desk", "--no-browser"),
    ],
    ids=lambda args: args[0],
)  # fmt: skip
def test_a_recording_past_its_days_goes_with_the_next_command(home, tmp_path, monkeypatch, capsys, args):
    if args[0] == "restore":
        main(["backup", "other.sqlite3"])
        (tmp_path / "other.sqlite3").rename(tmp_path / "copy.sqlite3")
    monkeypatch.setattr("sayit.page.server.serve", lambda **_: None)
    (tmp_path / "answers").mkdir()
    (tmp_path / "answers" / "13-plain.wav").write_bytes(b"RIFF")
    main(list(args))
    assert recordings(tmp_path) == []


def test_after_forget_no_file_of_ours_holds_the_name_and_copies_are_named(home, tmp_path, capsys):
    main(["children", "--add", "Newt"])
    main(["backup", "wren.sqlite3"])
    main(["backup", "copy.sqlite3"])
    main(["restore", "copy.sqlite3"])
    # As a restore and a backup leave them that are killed.
    part, half = home / ".record.sqlite3.part", tmp_path / ".copy.sqlite3.part"
    for file in (part, half):
        file.write_bytes((tmp_path / "copy.sqlite3").read_bytes())
    with open_record() as record:
        record.keep_settings({"child": 1})
    capsys.readouterr()
    assert main(["forget", "Wren", "--yes"]) == 0
    told = capsys.readouterr().out
    (aside,) = home.glob("record-before-*")
    for copy in (aside, tmp_path / "copy.sqlite3", tmp_path / "wren.sqlite3", half):
        assert str(copy) in told
    holding = {file for file in tmp_path.rglob("*") if file.is_file() and b"wren" in file.read_bytes().lower()}
    assert holding == {aside, tmp_path / "copy.sqlite3", tmp_path / "wren.sqlite3", half}
    main(["backup", "after.sqlite3"])
    capsys.readouterr()
    main(["forget", "Newt", "--yes"])
    assert "after.sqlite3" in capsys.readouterr().out
