"""A file that cannot be used is refused with one line and stays as it is, byte for byte."""

import os
import sqlite3
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, suppress

import pytest

from sayit import SayitError
from sayit.store import back_up, open_record, opening
from sayit.store.learning import learner_of
from sayit.store.migrations import APPLICATION_ID, MIGRATIONS, migrate, version
from tests.store.conftest import NOON

no_windows = pytest.mark.skipif(os.name == "nt", reason="POSIX")


def refused(path):
    before = {
        file.name: file.read_bytes() for file in path.parent.glob(f"{path.name}*") if not file.name.endswith("-shm")
    }
    with pytest.raises(SayitError) as told:
        open_record(path)
    after = {
        file.name: file.read_bytes() for file in path.parent.glob(f"{path.name}*") if not file.name.endswith("-shm")
    }
    for name, content in before.items():
        assert after[name] == content, name
    assert all(not content for name, content in after.items() if name not in before)
    assert "\n" not in str(told.value)
    return str(told.value)


def edit(path, *statements):
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for statement in statements:
            connection.execute(statement)


@pytest.fixture
def used(path):
    with open_record(path) as record:
        pip = record.add_child("Pip", at=NOON)
        for _ in range(200):
            record.start_session(pip, at=NOON, source="keys", seed=None)
    return path


def test_a_new_record_is_made_in_a_folder_that_was_not_there(tmp_path):
    path = tmp_path / "deep" / "er" / "record.sqlite3"
    with open_record(path) as record:
        assert record.children() == ()
    assert path.is_file()


def test_the_default_place_follows_the_environment(tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_HOME", str(tmp_path / "home"))
    with open_record() as record:
        assert record.path == tmp_path / "home" / "record.sqlite3"


@pytest.mark.parametrize("size", [0, 1, 99])
def test_a_record_cut_to_nothing_is_never_taken_for_a_new_one(path, size):
    with open_record(path) as record:
        pip = record.add_child("Pip", at=NOON)
        # As after a power cut: the last sittings are still in the log beside.
        copy = path.with_name("log")
        record.start_session(pip, at=NOON, source="keys", seed=None)
        copy.write_bytes(path.with_name(path.name + "-wal").read_bytes())
    copy.rename(path.with_name(path.name + "-wal"))
    path.write_bytes(path.read_bytes()[:size])
    assert "damaged" in refused(path)


def test_a_record_that_is_gone_while_its_log_is_there_is_no_new_one(used):
    used.with_name(used.name + "-wal").write_bytes(b"answers")
    used.unlink()
    assert "gone" in refused(used)


def test_a_database_with_nothing_in_it_is_a_damaged_record(path):
    edit(path, "PRAGMA journal_mode = WAL", "CREATE TABLE child (id)", "DROP TABLE child")
    assert "nothing is in it" in refused(path)


def test_four_first_starts_at_once_make_one_record(path):
    def start(_):
        with open_record(path) as record:
            with suppress(SayitError):
                record.add_child("Pip", at=NOON)
            return record.child("Pip").id

    with ThreadPoolExecutor(4) as four:
        assert set(four.map(start, range(4))) == {1}
    assert [file.name for file in path.parent.iterdir()] == [path.name]


def test_a_first_start_where_files_have_one_name_only(path, monkeypatch):
    def refuse(*_):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    for _ in range(2):
        with open_record(path) as record:
            assert record.child("Pip") or record.add_child("Pip", at=NOON)


def test_a_record_of_a_newer_program_is_refused(used):
    edit(used, f"PRAGMA user_version = {len(MIGRATIONS) + 1}")
    assert "newer" in refused(used)


def test_a_newer_record_with_unfinished_log_is_left_alone(path):
    """A killed newer program leaves its last answers in the write-ahead log."""
    script = (
        "import os, sqlite3, sys; c = sqlite3.connect(sys.argv[1], isolation_level=None);"
        "c.execute('PRAGMA journal_mode = WAL');"
        f"c.execute('PRAGMA application_id = {APPLICATION_ID}'); c.execute('PRAGMA user_version = 99');"
        "c.execute('CREATE TABLE later (x)'); os.kill(os.getpid(), 9)"
    )
    subprocess.run([sys.executable, "-c", script, str(path)])
    assert path.with_name(path.name + "-wal").stat().st_size > 0
    assert "newer" in refused(path)


def test_a_database_of_another_program_is_refused(path):
    edit(path, "CREATE TABLE recipes (name TEXT)")
    assert "another program" in refused(path)


def test_a_text_file_is_refused(path):
    path.write_text("Pip said forty-five\n" * 100)
    assert "damaged" in refused(path)


@pytest.mark.parametrize("keep", [0.1, 0.5, 0.9])
def test_a_truncated_record_is_refused(used, keep):
    whole = used.read_bytes()
    used.write_bytes(whole[: int(len(whole) * keep)])
    assert "damaged" in refused(used)


def test_a_record_that_lost_its_children_only_is_damaged_not_empty(used):
    edit(used, "PRAGMA foreign_keys = OFF", "DELETE FROM child")
    assert "damaged" in refused(used)


def test_tables_with_bytes_that_are_no_text_are_refused(used):
    used.write_bytes(used.read_bytes().replace(b"CREATE TABLE placement", b"CRE\xc9TE TABLE placement"))
    assert "damaged" in refused(used)


def test_an_overwritten_page_is_refused(used):
    whole = bytearray(used.read_bytes())
    # The page of the sessions: the largest run of data in the file.
    start = whole.index(b"keys2026") if b"keys2026" in whole else len(whole) // 2
    start -= start % 4096
    whole[start : start + 4096] = b"\xa5" * 4096
    used.write_bytes(whole)
    assert "damaged" in refused(used)


def test_damage_found_later_is_told_in_one_line(used):
    with open_record(used) as record:
        size = used.stat().st_size
        with used.open("r+b") as file:
            file.seek(4096)
            file.write(b"\xa5" * (size - 4096))
        record._connection.execute("PRAGMA cache_size = 0")
        with pytest.raises(SayitError, match="damaged"):
            record.sessions()


@pytest.mark.parametrize("make", [os.mkdir, pytest.param(getattr(os, "mkfifo", None), marks=no_windows)])
def test_what_is_no_file_in_its_place_is_refused(path, tmp_path, make):
    make(path)
    for use in (open_record, lambda path: back_up(tmp_path / "copy", path)):
        with pytest.raises(SayitError, match="SAYIT_HOME"):
            use(path)


@pytest.mark.parametrize(
    "spoil",
    [
        "UPDATE answer SET judged_at = '2026-13-02T12:00:00.000+00:00'",
        "UPDATE answer SET judged_at = '2026-03-02T12:00:00.000'",
        "UPDATE answer SET asked_at = '9026-03-02T12:00:00.000+00:00'",
        "UPDATE answer SET verdict = 'rihgt'",
        "UPDATE answer SET form = 'plaim'",
        "UPDATE answer SET way = ''",
        "UPDATE answer SET asked = -45",
        "UPDATE answer SET reasons = '{}'",
        "UPDATE answer SET reasons = '[1]'",
        "UPDATE answer SET alternatives = '[1]'",
        "UPDATE answer SET response_seconds = 1e300",
        "UPDATE answer SET heard = CAST(x'ff00' AS TEXT)",
        "UPDATE child SET created = 'noon'",
        "UPDATE child SET name = char(27) || '[31m'",
        "UPDATE child SET forms = '[]'",
        "UPDATE child SET keep_audio_days = 100000",
        "UPDATE session SET started = ''",
        "INSERT INTO placement (child, at, step, pace, skipped) VALUES (1, 'today', 'teens', 1, '[]')",
    ],
)
def test_an_entry_that_makes_no_sense_is_damage_told_in_one_line(record, path, make_answer, spoil):
    def everything():
        for child in record.children():
            record.sessions(), record.placements(child), record.answers(), learner_of(record, child)

    record.keep(make_answer())
    everything()
    edit(path, spoil)
    with pytest.raises(SayitError, match="damaged") as told:
        everything()
    assert "\n" not in str(told.value)


def test_a_learner_that_is_not_as_it_was_kept_is_made_again(record, path, make_answer):
    for number in range(100):
        record.keep(make_answer(number, question="teens/say-back:plain/13", step="teens", verdict="right"))
    whole = learner_of(record, record.child("Pip")).to_dict()
    edit(path, "UPDATE learner SET state = replace(state, '\"answers\": 100', '\"answers\": 700')")
    assert learner_of(record, record.child("Pip")).to_dict() == whole
    edit(path, "UPDATE learner SET answer = answer - 1")
    assert learner_of(record, record.child("Pip")).to_dict() == whole


def test_a_place_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(SayitError, match="SAYIT_HOME"):
        open_record(tmp_path / "file" / "record.sqlite3")


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="needs a user whom permissions bind")
def test_a_folder_that_cannot_be_written_is_told(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(SayitError, match="SAYIT_HOME"):
        open_record(tmp_path / "record.sqlite3")


def test_a_program_that_never_stops_writing_is_told(used, monkeypatch):
    monkeypatch.setattr(opening, "BUSY_SECONDS", 0.2)
    with open_record(used) as record, closing(sqlite3.connect(used, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(SayitError, match="Another program"):
            record.add_child("Wren", at=NOON)
        other.execute("COMMIT")
        record.add_child("Wren", at=NOON)


def test_a_full_disk_is_told_and_loses_nothing(used):
    with open_record(used) as record:
        pages = record._connection.execute("PRAGMA page_count").fetchone()[0]
        record._connection.execute(f"PRAGMA max_page_count = {pages}")
        pip = record.child("Pip")

        def fill():
            for _ in range(500):
                record.start_session(pip, at=NOON, source="x" * 500, seed=None)

        with pytest.raises(SayitError, match="full"):
            fill()
        kept = len(record.sessions())
        record._connection.execute(f"PRAGMA max_page_count = {pages + 1000}")
        record.start_session(pip, at=NOON, source="keys", seed=None)
        assert len(record.sessions()) == kept + 1


def test_a_step_is_taken_once_and_in_order(path):
    later = (*MIGRATIONS, ("ALTER TABLE child ADD COLUMN pet TEXT", "UPDATE child SET pet = 'cat'"))
    with open_record(path) as record:
        record.add_child("Pip", at=NOON)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        assert migrate(connection, later) == len(later)
        assert connection.execute("SELECT name, pet FROM child").fetchall() == [("Pip", "cat")]
        connection.execute("UPDATE child SET pet = 'dog'")
        assert migrate(connection, later) == len(later)
        assert connection.execute("SELECT pet FROM child").fetchone() == ("dog",)


def test_a_step_that_fails_changes_nothing(path):
    broken = (*MIGRATIONS, ("ALTER TABLE child ADD COLUMN pet TEXT", "INSERT INTO nowhere VALUES (1)"))
    with open_record(path):
        pass
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        with pytest.raises(sqlite3.OperationalError, match="nowhere"):
            migrate(connection, broken)
        assert version(connection) == len(MIGRATIONS)
        columns = [row[1] for row in connection.execute("PRAGMA table_info(child)")]
        assert "pet" not in columns
    with open_record(path) as record:
        record.add_child("Pip", at=NOON)
