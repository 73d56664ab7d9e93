"""A record as an earlier sayit left it, with the file in which the desk kept its settings: both are taken over whole."""

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from sayit.store import open_record
from sayit.store.learning import learner_of
from sayit.store.settings import Settings, settings_of

BEFORE = Path(__file__).parent / "before"
STANDS = json.loads((BEFORE / "stands.json").read_text())


@pytest.fixture
def home(tmp_path):
    with closing(sqlite3.connect(tmp_path / "record.sqlite3")) as connection:
        connection.executescript((BEFORE / "record-2.sql").read_text())
    shutil.copy(BEFORE / "desk.json", tmp_path)
    return tmp_path


def test_every_child_stands_where_it_stood(home):
    with open_record(home / "record.sqlite3") as record:
        children = {child.name: child for child in record.children()}
        found = {name: learner_of(record, child).to_dict() for name, child in children.items()}
        answers = record.answers()
    assert {name: {key: state[key] for key in STANDS[name]} for name, state in found.items()} == STANDS
    assert (children["Pip"].birth_month, children["Wren"].keep_audio_days) == ("2020-04", 14)
    assert {child.counts_to for child in children.values()} == {None}
    assert len(answers) == 45 and all(answer.response_seconds for answer in answers)
    assert [answer.override for answer in answers].count("skip") == 1


def test_forms_and_settings_of_the_desk_come_into_the_record_and_the_file_goes(home):
    for _ in range(2):
        with open_record(home / "record.sqlite3") as record:
            forms = {child.name: child.forms for child in record.children()}
            settings = settings_of(record)
        assert forms == {"Pip": ("plain", "explicit"), "Wren": ("plain",), "Newt": ("plain", "explicit")}
        assert settings == Settings(
            child="Wren", turns=("Pip",), minutes=7, plan=False, ways=("glimpse", "build"), low=11, high=60, rate=115,
            volume=0.5, quiet=1.6, patience=12.0, captions=False,
        )  # fmt: skip
    assert not (home / "desk.json").exists()


def test_whoever_is_forgotten_is_in_no_setting(home):
    with open_record(home / "record.sqlite3") as record:
        record.forget(record.child("Wren"))
        record.forget(record.child("Pip"))
        settings = settings_of(record)
    assert (settings.child, settings.turns, settings.rate) == ("", (), 115)


@pytest.mark.parametrize("spoilt", ["", "[]", "null", "{", "\x00", '{"volume": 7, "ways": [], "rate": 115}'])
def test_a_spoilt_file_means_the_usual_settings(home, spoilt):
    (home / "desk.json").write_text(spoilt)
    with open_record(home / "record.sqlite3") as record:
        assert settings_of(record) == (Settings(rate=115) if "rate" in spoilt else Settings())
        assert len(record.answers()) == 45
