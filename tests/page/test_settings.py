import json

import pytest

from sayit.errors import SayitError
from sayit.page.settings import Settings, changed, read_settings, write_settings


def test_what_was_set_is_there_the_next_time(tmp_path):
    settings = changed(Settings(), {"child": "Wren <b>", "ways": ["build", "say-back"], "quiet": 2, "keys": False})
    write_settings(settings, tmp_path / "new" / "desk.json")
    assert read_settings(tmp_path / "new" / "desk.json") == settings
    assert settings.ways == ("say-back", "build") and settings.quiet == 2.0


@pytest.mark.parametrize(
    "spoilt", ["", "[]", "null", "{", '{"minutes": "ten"}', '{"volume": 7}', '{"ways": []}', "\x00"]
)
def test_a_spoilt_file_means_the_usual_settings(tmp_path, spoilt):
    (tmp_path / "desk.json").write_text(spoilt)
    assert read_settings(tmp_path / "desk.json") == Settings()


def test_a_setting_of_another_version_is_passed_over(tmp_path):
    (tmp_path / "desk.json").write_text(json.dumps({"minutes": 5, "colour": "red"}))
    assert read_settings(tmp_path / "desk.json") == Settings(minutes=5)


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
        {"forms": None},
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


def test_a_folder_that_cannot_be_written_gets_one_line(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(SayitError, match="cannot be kept"):
        write_settings(Settings(), tmp_path / "file" / "desk.json")
