"""Plan, report, sheet, export, children, backup, restore and forget as a parent runs them."""

import csv
import json
import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from sayit.commands import main
from sayit.store import Answer, open_record
from tests.commands.program import objects, refused

NOW = datetime.now(UTC)


@pytest.fixture(autouse=True)
def wide(monkeypatch):
    """A terminal in which no sentence is broken."""
    monkeypatch.setenv("COLUMNS", "1000")


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    folder = tmp_path / "papers"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return tmp_path / "home"


@pytest.fixture
def pip(home):
    """A record with Pip, who answered ten questions yesterday."""
    with open_record() as record:
        child = record.add_child("Pip", at=NOW)
        record.place(child, "teens", at=NOW - timedelta(days=2))
        begin = NOW - timedelta(days=1)
        session = record.start_session(child, at=begin, source="keys", seed=None)
        for number in range(10):
            at = begin + timedelta(seconds=10 * number)
            miss = {"verdict": "wrong", "value": 30, "reasons": ("teen-ty-swap",)} if number % 3 == 0 else {}
            values = {"verdict": "right", "value": 13, "response_seconds": 1.5} | miss
            record.keep(
                Answer(session.id, child.id, "teens/read-out:plain/13", "teens", "read-out", 13, "plain", "", **values,
                       asked_at=at, judged_at=at + timedelta(seconds=3))
            )  # fmt: skip
    return "Pip"


def shown(capsys, *args, status=0):
    assert main(list(args)) == status
    told = capsys.readouterr()
    return told.out if status == 0 else told.err


def line(capsys, *args):
    """The one line of a refusal."""
    assert main(list(args)) == 2
    told = capsys.readouterr()
    assert told.out == ""
    (only,) = told.err.splitlines()
    assert only.startswith("sayit: ")
    return only


def test_report(capsys, pip, tmp_path):
    out = tmp_path / "new"
    told = shown(capsys, "report", "--out", str(out))
    assert "Pip practised on 1 day" in told and "6 of 10 were right" in told
    assert sorted(file.name for file in out.iterdir()) == ["pip-report.html", "pip-report.pdf"]
    assert (out / "pip-report.pdf").read_bytes().startswith(b"%PDF-")
    assert "Teens and tens mixed up" in (out / "pip-report.html").read_text(encoding="utf-8")
    entry = json.loads(shown(capsys, "report", "--json", "--out", str(out)))
    assert (entry["judged"], entry["right"]) == (10, 6)
    assert entry["confusions"][0]["pairs"] == [{"asked": 13, "heard": 30, "times": 4}]


def test_plan(capsys, pip):
    told = shown(capsys, "plan", "--days", "2")
    assert "Tomorrow" in told and "Lay out:" in told and "Say:" in told and "Why:" in told
    days = [json.loads(one) for one in shown(capsys, "plan", "--json", "--minutes", "8").splitlines()]
    assert len(days) == 7
    tomorrow = (datetime.now().astimezone() + timedelta(days=1)).date()
    assert days[0]["day"] == tomorrow.isoformat() and days[0]["minutes"] == 8


def test_export(capsys, pip, tmp_path):
    told = shown(capsys, "export", "--out", str(tmp_path))
    assert "differs from place to place" in told
    with (tmp_path / "pip-answers.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 10 and rows[0]["reasons"] == "teen-ty-swap"
    assert (tmp_path / "pip-log.pdf").exists() and (tmp_path / "pip-log.html").exists()
    assert "no answers since" in line(capsys, "export", "--since", "2999-01-01", "--out", str(tmp_path))


def test_sheet(capsys, pip, tmp_path):
    shown(capsys, "sheet", "--out", str(tmp_path), "--seed", "3")
    first = (tmp_path / "pip-teens-sheet.html").read_bytes()
    shown(capsys, "sheet", "--out", str(tmp_path), "--seed", "3")
    assert (tmp_path / "pip-teens-sheet.html").read_bytes() == first
    entry = json.loads(shown(capsys, "sheet", "--step", "hundreds", "--out", str(tmp_path), "--json"))
    assert entry["step"] == "hundreds" and str(tmp_path / "hundreds-sheet.pdf") in entry["files"]


def test_a_sheet_for_a_step_needs_no_record(capsys, home):
    assert "Teens" in shown(capsys, "sheet", "--step", "teens")
    assert not home.exists()


def test_names_make_safe_files_and_never_the_same(capsys, home, tmp_path):
    with open_record() as record:
        for name in ("../../Pip", "Pip", "pip.", "=cmd", "\u5c0f\u9e1f"):
            child = record.add_child(name, at=NOW)
            session = record.start_session(child, at=NOW, source="keys", seed=None)
            record.keep(Answer(session.id, child.id, "x/y/1", "x", "y", 1, "plain", "", "right", NOW, NOW))
        names = [child.name for child in record.children()]
    for name in names:
        shown(capsys, "export", f"--child={name}", "--out", str(tmp_path / "papers"))
    tables = list((tmp_path / "papers").glob("*-answers.csv"))
    assert len(tables) == len(names)
    assert not list(tmp_path.glob("*.csv"))


def test_children(capsys, home):
    assert "Nobody yet" in shown(capsys, "children")
    told = shown(capsys, "children", "--add", "Wren", "--birth-month", "2021-02")
    assert "Wren" in told and "no recordings kept" in told and "2021-02" in told
    told = shown(
        capsys, "children", "--child", "wren", "--keep-audio", "30", "--birth-month", "none", "--counts-to", "20"
    )
    assert "30 days" in told and "2021" not in told and "counts to about 20" in told
    shown(capsys, "children", "--child", "Wren", "--step", "tens-and-ones", "--pace", "1.5", "--skip", "whole-tens")
    entry = json.loads(shown(capsys, "children", "--json"))
    assert (entry["step"], entry["pace"], entry["skipped"]) == ("tens-and-ones", 1.5, ["whole-tens"])
    assert entry["keep_audio_days"] == 30 and entry["birth_month"] is None and entry["counts_to"] == 20
    shown(capsys, "children", "--child", "Wren", "--skip", "none", "--limit", "100")
    entry = json.loads(shown(capsys, "children", "--json"))
    assert (entry["skipped"], entry["limit"], entry["pace"], entry["step"]) == ([], 100, 1.5, "tens-and-ones")
    assert "teens" in shown(capsys, "children", "--step", "list")


def test_backup_restore_forget(capsys, pip, home, tmp_path):
    copy = tmp_path / "copy.sqlite3"
    assert "keep it as safe" in shown(capsys, "backup", str(copy))
    assert "another name" in line(capsys, "backup", str(copy))
    assert "--yes" in line(capsys, "forget", "Pip")
    entry = json.loads(shown(capsys, "forget", "pip", "--yes", "--json"))
    assert (entry["forgotten"], entry["answers"]) == ("Pip", 10)
    assert "empty" in line(capsys, "forget", "Pip", "--yes")
    told = shown(capsys, "restore", str(copy))
    assert "Pip" in told and "before" in told
    with open_record() as record:
        assert len(record.answers()) == 10
    folder = json.loads(shown(capsys, "backup", str(tmp_path), "--json"))["backup"]
    assert Path(folder).parent == tmp_path
    assert "copy of the record" in shown(capsys, "forget", "Pip", "--yes")


@pytest.mark.parametrize(
    ("args", "clue"),
    [
        (("report", "--child", "Nobody"), "Pip"),
        (("plan", "--child", "Nobody"), "Pip"),
        (("export", "--child", "Nobody"), "Pip"),
        (("sheet", "--child", "Nobody"), "Pip"),
        (("forget", "Nobody", "--yes"), "Pip"),
        (("children", "--child", "Nobody"), "Pip"),
        (("report", "--out", "no/such/folder"), "no folder"),
        (("export", "--out", "file.txt"), "is a file"),
        (("report", "--weeks", "0"), "from 1 on"),
        (("report", "--weeks", "521"), "520"),
        (("plan", "--days", "29"), "28"),
        (("plan", "--minutes", "0"), "above 0"),
        (("export", "--since", "yesterday"), "2026-01-31"),
        (("sheet", "--step", "nowhere"), "teens"),
        (("sheet", "--child", "Pip", "--step", "nowhere"), "teens"),
        (("sheet", "--seed", "x"), "--seed"),
        (("children", "--child", "Pip", "--step", "nowhere"), "teens"),
        (("children", "--child", "Pip", "--pace", "0"), "0.2"),
        (("children", "--child", "Pip", "--pace", "nan"), "0.2"),
        (("children", "--child", "Pip", "--keep-audio", "9999"), "365"),
        (("children", "--child", "Pip", "--birth-month", "May"), "2020-04"),
        (("children", "--child", "Pip", "--limit", "3"), "10"),
        (("children", "--add", "Pip"), "already"),
        (("children", "--step", "teens"), "--child"),
        (("backup", "no/such/folder/copy"), "no folder"),
        (("backup",), "FILE"),
        (("restore", "nothing"), "no file"),
        (("restore", "file.txt"), "no backup"),
        (("forget",), "NAME"),
    ],
)
def test_what_makes_no_sense_is_one_line_and_changes_nothing(capsys, pip, home, args, clue):
    Path("file.txt").write_text("text " * 300)
    with open_record() as record:
        before = (record.children(), record.answers(), record.placements(record.child("Pip")))
    assert clue in line(capsys, *args)
    with open_record() as record:
        assert (record.children(), record.answers(), record.placements(record.child("Pip"))) == before


@pytest.mark.parametrize("command", ["report", "plan", "export", "sheet"])
def test_an_empty_record_and_a_child_who_must_be_named(capsys, home, command):
    assert "practise first" in line(capsys, command)
    with open_record() as record:
        record.add_child("Pip", at=NOW)
        record.add_child("Wren", at=NOW)
    assert "Pip, Wren" in line(capsys, command)


def test_a_child_without_answers(capsys, home):
    with open_record() as record:
        record.add_child("Pip", at=NOW)
    assert "practise first" in line(capsys, "report")
    assert "practise first" in line(capsys, "export")
    assert "placement" in shown(capsys, "plan")


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="needs a user whom permissions bind")
def test_a_folder_that_may_not_be_written(capsys, pip, tmp_path):
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o500)
    for command in ("report", "export", "sheet"):
        assert "--out" in line(capsys, command, "--out", str(closed))


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="needs a folder that nobody can write into")
def test_a_folder_that_nobody_can_write_into(capsys, pip):
    for command in ("report", "export", "sheet"):
        assert "choose another folder" in line(capsys, command, "--out", "/proc")


def test_a_setting_that_makes_no_sense_adds_nobody(capsys, home):
    for bad in (("--keep-audio", "9999"), ("--birth-month", "May"), ("--step", "nowhere"), ("--pace", "99")):
        line(capsys, "children", "--add", "Wren", *bad)
    assert "Nobody yet" in shown(capsys, "children")


def test_without_the_pdf_libraries_the_page_is_still_there(capsys, pip, tmp_path, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "typst", None)
    told = shown(capsys, "report", "--out", str(tmp_path), status=1)
    assert "browser" in told and len(told.splitlines()) == 1
    assert (tmp_path / "pip-report.html").exists() and not (tmp_path / "pip-report.pdf").exists()


def test_the_demo_leaves_the_record_alone(sayit, tmp_path):
    entry = objects(sayit("report", "--demo", "--child", "wren", "--out", str(tmp_path), "--json"))[0]
    assert entry["invented"] and entry["child"] == "Wren" and entry["judged"] > 1000
    assert "invented" in (tmp_path / "wren-report.html").read_text(encoding="utf-8")
    assert not (tmp_path / "home").exists()
    assert "Pip, Wren" in refused(sayit("plan", "--demo", "--child", "Nobody"))
