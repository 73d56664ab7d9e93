"""A backup is whole, a restore checks first, and nothing is lost on the way."""

import sqlite3
import threading
from contextlib import closing
from datetime import timedelta

import pytest

from sayit import SayitError
from sayit.store import back_up, open_record, opening, restore
from sayit.store.migrations import MIGRATIONS, migrate
from tests.store.conftest import NOON


@pytest.fixture
def backup(record, make_answer, path, tmp_path):
    """A backup with one answer; the record has two."""
    record.keep(make_answer(1))
    copy = back_up(tmp_path / "copy.sqlite3", path)
    record.keep(make_answer(2))
    return copy


def counts(path):
    with open_record(path) as record:
        return len(record.answers())


def test_a_backup_is_one_file_for_its_owner_and_holds_everything(backup, record):
    assert backup.stat().st_mode & 0o077 == 0
    assert [file.name for file in backup.parent.glob("*copy*")] == ["copy.sqlite3"]
    with closing(sqlite3.connect(backup)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert counts(backup) == 1 and len(record.answers()) == 2


def test_a_backup_made_while_practice_writes_is_whole(record, make_answer, path, tmp_path):
    done = threading.Event()
    kept = []

    def practise():
        with open_record(path) as other:
            kept.extend(other.keep(make_answer(number)) for number in range(60))
        done.set()

    writer = threading.Thread(target=practise)
    writer.start()
    copies = []
    while not done.is_set() and len(copies) < 200:
        copies.append(back_up(tmp_path / f"copy{len(copies)}.sqlite3", path))
    writer.join()
    assert copies
    for copy in copies[::5]:
        with open_record(copy) as opened:
            answers = opened.answers()
        # The first so many, none left out.
        assert [answer.id for answer in answers] == [answer.id for answer in kept[: len(answers)]]


def test_a_backup_never_writes_over_a_file(backup, path):
    before = backup.read_bytes()
    with pytest.raises(SayitError, match="another name"):
        back_up(backup, path)
    assert backup.read_bytes() == before


def test_a_backup_needs_a_record_and_a_folder(record, path, tmp_path):
    with pytest.raises(SayitError, match="practise first"):
        back_up(tmp_path / "copy.sqlite3", tmp_path / "nothing.sqlite3")
    with pytest.raises(SayitError, match="folder"):
        back_up(tmp_path / "no" / "copy.sqlite3", path)
    assert not list(tmp_path.glob(".*.part"))


def test_a_restore_brings_the_backup_and_keeps_what_was(backup, record, path):
    record.close()
    kept = restore(backup, at=NOON, path=path).kept
    assert (counts(path), counts(kept)) == (1, 2)
    again = restore(kept, at=NOON, path=path).kept
    assert again != kept
    assert (counts(path), counts(again)) == (2, 1)


def test_a_program_that_has_the_record_open_goes_on_with_the_restored_one(backup, record, path, make_answer):
    restore(backup, at=NOON, path=path)
    assert len(record.answers()) == 1
    record.keep(make_answer(3))
    assert counts(path) == 2
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_restore_where_there_is_no_record_yet(backup, tmp_path):
    path = tmp_path / "new" / "record.sqlite3"
    assert restore(backup, at=NOON, path=path).kept is None
    assert counts(path) == 1


def _edit(*statements):
    def change(path):
        with closing(sqlite3.connect(path, isolation_level=None)) as connection:
            for statement in statements:
                connection.execute(statement)

    return change


@pytest.mark.parametrize(
    ("spoil", "clue"),
    [
        (lambda path: path.write_bytes(b""), "empty"),
        (lambda path: path.write_text("no backup " * 500), "damaged"),
        (lambda path: path.write_bytes(path.read_bytes()[:9000]), "damaged"),
        (_edit("PRAGMA user_version = 99"), "newer"),
        (_edit("PRAGMA application_id = 7"), "another program"),
        (_edit("DROP TABLE answer"), "tables"),
        (_edit("UPDATE answer SET session = 999"), "a sitting that is not in it"),
        (lambda path: path.unlink(), "no file"),
    ],
)
def test_what_is_no_backup_changes_nothing(backup, record, path, tmp_path, spoil, clue):
    spoil(backup)
    spoiled = backup.read_bytes() if backup.exists() else None
    with pytest.raises(SayitError, match=clue) as told:
        restore(backup, at=NOON, path=path)
    assert "\n" not in str(told.value)
    assert len(record.answers()) == 2
    assert not list(tmp_path.glob("*before*"))
    assert spoiled is None or backup.read_bytes() == spoiled


def test_the_record_itself_is_no_backup(record, path):
    with pytest.raises(SayitError, match="itself"):
        restore(path, at=NOON, path=path)


def test_a_damaged_record_is_moved_aside_as_it_is(backup, record, path):
    record.close()
    path.write_bytes(b"lost to a bad disk " * 500)
    kept = restore(backup, at=NOON, path=path).kept
    assert kept.read_bytes() == b"lost to a bad disk " * 500
    assert counts(path) == 1


def test_a_record_in_use_for_too_long_is_not_touched(backup, record, path, monkeypatch):
    monkeypatch.setattr("sayit.store.safekeeping.BUSY_SECONDS", 0.2)
    monkeypatch.setattr(opening, "BUSY_SECONDS", 0.2)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(SayitError, match="Another program"):
            restore(backup, at=NOON, path=path)
        other.execute("ROLLBACK")
    assert len(record.answers()) == 2


def test_a_backup_of_an_older_program_is_brought_up_to_date(tmp_path):
    old, path = tmp_path / "old.sqlite3", tmp_path / "record.sqlite3"
    with closing(sqlite3.connect(old, isolation_level=None)) as connection:
        migrate(connection, MIGRATIONS[:1])
        connection.execute(
            "INSERT INTO child (name, name_key, created) VALUES ('Pip', 'pip', ?)",
            (NOON.isoformat(timespec="milliseconds"),),
        )
        connection.execute("PRAGMA user_version = 1")
    restore(old, at=NOON, path=path)
    with open_record(path) as record:
        pip = record.child("Pip")
        record.place(pip, "teens", at=NOON + timedelta(days=1))
        assert [one.step for one in record.placements(pip)] == ["teens"]


def test_a_backup_whose_index_lost_a_row_is_no_whole_one(backup, path):
    """The quick check does not compare indexes with their tables; the whole one does."""
    with closing(sqlite3.connect(backup)) as connection:
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute(
            "UPDATE sqlite_master SET sql = replace(sql, ' WHERE recording IS NOT NULL', '') "
            "WHERE name = 'answer_with_recording'"
        )
        connection.commit()
    with pytest.raises(SayitError, match="no backup that can be restored"):
        restore(backup, at=NOON, path=path)
