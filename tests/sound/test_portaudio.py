"""A lock that a killed program left in JACK's database must not hold up the next one."""

import os
import subprocess
import sys

import pytest

from sayit.sound.portaudio import clear_stale_lock


@pytest.fixture
def database(tmp_path):
    folder = tmp_path / f"jack_db-{os.getuid()}"
    folder.mkdir()
    (folder / "__db.001").write_bytes(b"locked")
    return folder


def test_the_database_goes_where_no_server_ran(database):
    clear_stale_lock(database.parent)
    assert not database.exists()


def test_the_database_stays_where_a_server_ran(database):
    (database.parent / "jack-shm-registry").touch()
    clear_stale_lock(database.parent)
    assert (database / "__db.001").exists()


def test_nothing_to_clear_is_no_error(tmp_path):
    clear_stale_lock(tmp_path)


def test_portaudio_loads_time_after_time():
    code = "from sayit.sound.portaudio import load_sounddevice as load; load().query_devices()"
    for _ in range(3):
        subprocess.run([sys.executable, "-c", code], timeout=60, capture_output=True, check=True)
