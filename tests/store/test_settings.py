"""The household's settings in the record."""

from datetime import UTC, datetime

import pytest

from sayit.errors import SayitError
from sayit.store import open_record
from sayit.store.settings import Settings, changed, keep_settings, settings_of

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def test_what_was_set_is_there_the_next_time(tmp_path):
    with open_record(tmp_path / "record.sqlite3") as record:
        assert settings_of(record) == Settings()
        record.add_child("Wren <b>", at=NOON)
        settings = changed(Settings(), {"child": "Wren <b>", "ways": ["build", "say-back"], "quiet": 2, "keys": False})
        keep_settings(record, settings)
    with open_record(tmp_path / "record.sqlite3") as record:
        assert settings_of(record) == settings
        assert "Wren" not in str(record.settings()), "a child stands in the settings by its number"
    assert settings.ways == ("say-back", "build") and settings.quiet == 2.0


def test_what_makes_no_sense_any_more_is_the_usual(tmp_path):
    with open_record(tmp_path / "record.sqlite3") as record:
        record.keep_settings({"minutes": "ten", "rate": 115, "colour": "red", "low": 90, "high": 20, "turns": 7})
        assert settings_of(record) == Settings(rate=115)


def test_a_range_beyond_the_usual_one_is_kept(tmp_path):
    with open_record(tmp_path / "record.sqlite3") as record:
        keep_settings(record, changed(Settings(), {"low": 200, "high": 900}))
        assert settings_of(record) == Settings(low=200, high=900)


@pytest.mark.parametrize(
    "wanted",
    [
        {"minutes": 0},
        {"minutes": 61},
        {"minutes": True},
        {"minutes": "5"},
        {"minutes": None},
        {"volume": 1.1},
        {"volume": float("nan")},
        {"rate": 20},
        {"quiet": 0},
        {"low": 50, "high": 40},
        {"low": 0},
        {"high": 10**9},
        {"ways": []},
        {"ways": "build"},
        {"ways": ["dance"]},
        {"sound": "radio"},
        {"keys": 1},
        {"child": 3},
        {"child": "x" * 201},
        {"colour": "red"},
    ],
)
def test_what_makes_no_sense_gets_one_line(wanted):
    with pytest.raises(SayitError) as told:
        changed(Settings(), wanted)
    assert "\n" not in str(told.value) and str(told.value).endswith(".")
