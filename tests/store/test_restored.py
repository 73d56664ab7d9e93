"""What a restore must not bring back, and what it must not take away."""

import os
import sqlite3
from contextlib import closing
from datetime import timedelta

import numpy as np
import pytest

from sayit import SayitError
from sayit.store import back_up, delete_expired, keep_sound, open_record, restore
from sayit.store.arrangement import arrange
from sayit.store.sounds import folder
from tests.store.conftest import NOON

SOUND = np.full(1600, 0.1, dtype=np.float32)


def edit(path, *statements):
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for statement in statements:
            connection.execute(statement)


@pytest.mark.parametrize(("before", "backed_up", "after"), [(0, 30, 0), (30, 0, 0), (7, 30, 7), (30, 7, 7), (7, 7, 7)])
def test_the_stricter_of_two_consents_holds_and_is_told(record, session, path, tmp_path, before, backed_up, after):
    pip = record.set_audio_days(record.child("Pip"), backed_up)
    copy = back_up(tmp_path / "copy.sqlite3", path)
    record.set_audio_days(pip, before)
    done = restore(copy, at=NOON, path=path)
    assert [(child.name, child.keep_audio_days) for child in done.consent] == [("Pip", after)]
    assert record.child("Pip").keep_audio_days == after and not done.unread


def test_a_child_who_was_forgotten_comes_back_without_recordings(record, session, path, tmp_path):
    pip = record.set_audio_days(record.child("Pip"), 30)
    copy = back_up(tmp_path / "copy.sqlite3", path)
    record.forget(pip)
    restore(copy, at=NOON, path=path)
    assert record.child("Pip").keep_audio_days == 0


def test_where_nobody_was_known_the_backup_alone_speaks(record, session, path, tmp_path):
    record.set_audio_days(record.child("Pip"), 30)
    copy = back_up(tmp_path / "copy.sqlite3", path)
    other = tmp_path / "other" / "record.sqlite3"
    open_record(other).close()
    for place in (other, tmp_path / "new" / "record.sqlite3"):
        assert [child.keep_audio_days for child in restore(copy, at=NOON, path=place).consent] == [30]
    other.write_bytes(b"lost" * 500)
    assert restore(copy, at=NOON, path=other).unread


def test_a_restore_can_be_undone_recordings_too(record, make_answer, path, tmp_path):
    copy = back_up(tmp_path / "copy.sqlite3", path)
    record.set_audio_days(record.child("Pip"), 30)
    kept = keep_sound(record, record.keep(make_answer()), SOUND)
    before = restore(copy, at=NOON, path=path).kept
    assert delete_expired(record, NOON + timedelta(days=29)) == 0
    restore(before, at=NOON, path=path)
    assert record.answers() == (kept,) and (folder(record) / kept.recording).is_file()
    # Its days are what they were, and the parent who turns recordings off means all of them.
    arrange(record, record.child("Pip"), {"audio_days": 9}, NOON)
    arrange(record, record.child("Pip"), {"audio_days": 0}, NOON)
    assert not list(folder(record).rglob("*.flac"))


def test_recordings_of_a_record_put_aside_go_after_its_days(record, make_answer, path, tmp_path):
    copy = back_up(tmp_path / "copy.sqlite3", path)
    record.set_audio_days(record.child("Pip"), 30)
    keep_sound(record, record.keep(make_answer()), SOUND)
    restore(copy, at=NOON, path=path)
    (file,) = folder(record).rglob("*.flac")
    os.utime(file, (0, 0))
    assert delete_expired(record, NOON + timedelta(days=31)) == 1


def test_a_row_cannot_name_the_recording_of_another_child(record, make_answer):
    record.set_audio_days(record.child("Pip"), 1)
    theirs = folder(record) / "7" / "20260302T120000-0.flac"
    theirs.parent.mkdir(parents=True)
    theirs.write_bytes(b"fLaC")
    record.keep(make_answer(recording="7/20260302T120000-0.flac"))
    assert delete_expired(record, NOON + timedelta(days=9)) == 0 and theirs.is_file()


@pytest.mark.parametrize(
    "foreign",
    [
        "CREATE TRIGGER t AFTER INSERT ON answer BEGIN DELETE FROM answer; END",
        "CREATE VIEW v AS SELECT * FROM child",
        "CREATE TABLE other (x)",
        "CREATE INDEX i ON answer (heard)",
        "ALTER TABLE child ADD COLUMN pet TEXT",
        "DROP INDEX answer_by_child",
    ],
)
def test_a_backup_with_something_foreign_in_it_is_refused(record, make_answer, path, tmp_path, foreign):
    copy = back_up(tmp_path / "copy.sqlite3", path)
    record.keep(make_answer())
    edit(copy, foreign)
    with pytest.raises(SayitError, match="not as this program makes it") as told:
        restore(copy, at=NOON, path=path)
    assert "\n" not in str(told.value)
    assert len(record.answers()) == 1 and not list(tmp_path.glob("*before*"))


def test_a_backup_with_an_entry_that_makes_no_sense_is_refused(record, make_answer, path, tmp_path):
    record.keep(make_answer())
    copy = back_up(tmp_path / "copy.sqlite3", path)
    edit(copy, "UPDATE answer SET judged_at = 'noon'")
    with pytest.raises(SayitError, match="no backup that can be restored"):
        restore(copy, at=NOON, path=path)
    assert len(record.answers()) == 1
    assert not list(tmp_path.glob(".record*"))
