"""hear, say, models and ready, with real recordings, a real voice and the real recogniser."""

import json
import shutil
from pathlib import Path

import pytest
import soundfile

from sayit.numbers import NUMBER_WORDS
from tests.commands.program import objects, refused
from tests.speech_data import FOLDER, MISSING, present

PROMPTS = Path(__file__).parents[2] / "prompts"


def test_hear_gives_exactly_its_fields(sayit, spoken):
    file = spoken("four ten, five")
    (entry,) = objects(sayit("hear", str(file), "--json"))
    assert list(entry) == [
        "file", "words", "value", "digits", "form", "confidence", "clear", "alternatives", "listener", "audio_seconds", "work_seconds",
    ]  # fmt: skip
    assert (entry["file"], entry["value"], entry["form"]) == (str(file), 45, "explicit")
    assert entry["digits"] is None
    assert 0 < entry["confidence"] <= 1 and entry["clear"] is True
    assert {"words", "score"} == set(entry["alternatives"][0])
    assert entry["audio_seconds"] == pytest.approx(soundfile.info(file).duration, abs=0.02)


def test_hear_tells_digits_and_what_is_no_number(sayit, spoken):
    told, talk = objects(
        sayit("hear", str(spoken("three, two, two, seven")), str(spoken("the cat sat by the window")), "--json")
    )
    assert told["digits"] == "3227"
    assert talk["value"] is None and talk["words"] == ""


@pytest.mark.skipif(not present(), reason=MISSING)
def test_hear_takes_a_childs_recording(sayit):
    """speechocean762 (Zhang et al. 2021, CC BY 4.0): a child reads a digit string."""
    file = min((FOLDER / "children" / "numbers").glob("*.flac"))
    (entry,) = objects(sayit("hear", str(file), "--json"))
    assert entry["listener"] and entry["work_seconds"] > 0


def test_one_bad_file_does_not_stop_the_others(sayit, spoken, tmp_path):
    finished = sayit("hear", str(tmp_path / "gone.wav"), str(spoken("thirty")), "--json")
    assert finished.returncode == 2
    assert len(finished.stderr.splitlines()) == 1
    assert json.loads(finished.stdout)["value"] == 30


def test_say_writes_what_hear_understands(sayit, tmp_path):
    file = tmp_path / "said.wav"
    (entry,) = objects(sayit("say", "63", "--form", "explicit", "--out", str(file), "--json"))
    assert entry["words"] == "six-ten three"
    assert entry["seconds"] == pytest.approx(soundfile.info(file).duration, abs=0.01)
    assert objects(sayit("hear", str(file), "--json"))[0]["value"] == 63


def test_say_aloud_says_so_or_says_what_to_do(sayit):
    finished = sayit("say", "45")
    if finished.returncode == 0:
        assert finished.stdout.strip() == "forty-five"
    else:
        assert "--out" in refused(finished)


def test_models_lists_and_checks_the_embedded_one(sayit):
    first = objects(sayit("models", "--json"))[0]
    assert (first["name"], first["problem"]) == ("numbers-en", "")
    (checked,) = objects(sayit("models", "--check", "numbers-en", "--json"))
    assert checked["works"] is True


def test_models_refuses_what_is_no_model(sayit, tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_MODELS", str(tmp_path / "models"))
    folder = tmp_path / "folder"
    folder.mkdir()
    assert "lacks" in refused(sayit("models", "--install", str(folder)))
    assert "lacks" in refused(sayit("models", "--check", str(folder)))
    (tmp_path / "broken.zip").write_bytes(b"PK\x03\x04 and no more")
    assert "zip" in refused(sayit("models", "--install", str(tmp_path / "broken.zip")))
    assert not list((tmp_path / "models").glob("*"))


def test_models_installs_a_folder_and_lists_it(sayit, tmp_path, monkeypatch):
    monkeypatch.setenv("SAYIT_MODELS", str(tmp_path / "models"))
    folder = tmp_path / "small-en"
    for part in ("am/final.mdl", "graph/HCLG.fst", "conf/mfcc.conf"):
        (folder / part).parent.mkdir(parents=True)
        (folder / part).write_bytes(b"x" * 100_000)
    (entry,) = objects(sayit("models", "--install", str(folder), "--json"))
    assert entry["name"] == "small-en"
    assert "small-en" in [model["name"] for model in objects(sayit("models", "--json"))]
    assert "there already" in refused(sayit("models", "--install", str(folder)))


def test_ready_tells_each_part_and_whether_practice_can_run(sayit):
    finished = sayit("ready", "--json")
    checks = {check["part"]: check for check in map(json.loads, finished.stdout.splitlines())}
    assert list(checks) == ["microphone", "voice", "loudspeaker", "phrases", "recogniser", "record"]
    assert checks["recogniser"]["works"] and checks["record"]["works"] and checks["phrases"]["works"]
    assert finished.returncode == 0
    assert all(check["advice"] for check in checks.values() if not check["works"])


def test_ready_tells_what_the_parent_recorded(sayit, tmp_path, monkeypatch):
    prompts = tmp_path / "prompts"
    shutil.copytree(PROMPTS, prompts, ignore=shutil.ignore_patterns("recorded"))
    monkeypatch.setenv("SAYIT_PROMPTS", str(prompts))
    for name in ("words/four", "words/ten", "phrases/session.goodbye-1", "phrases/session.godbye-1"):
        (prompts / "recorded" / name).parent.mkdir(parents=True, exist_ok=True)
        soundfile.write(prompts / "recorded" / f"{name}.wav", [0.1] * 4000, 16_000)
    checks = {check["part"]: check for check in map(json.loads, sayit("ready", "--json").stdout.splitlines())}
    own = checks["own voice"]
    assert list(own) == list(checks["voice"])
    assert own["works"] and not own["needed"]
    assert own["found"] == f"1 phrase and 2 of {len(NUMBER_WORDS)} number words recorded"
    assert "five" in own["advice"] and "four," not in own["advice"]
    assert "session.godbye-1.wav belongs to no phrase" in own["advice"]


def test_ready_fails_where_the_record_cannot_be_kept(sayit, tmp_path):
    home = tmp_path / "home"
    home.mkdir()
    (home / "record.sqlite3").write_text("not a record " * 100)
    finished = sayit("ready")
    assert finished.returncode == 1
    assert "damaged" in finished.stdout and "cannot run" in finished.stdout


def test_ready_fails_where_the_phrases_are_broken(sayit, tmp_path, monkeypatch):
    prompts = tmp_path / "prompts"
    prompts.mkdir()
    (prompts / "en.toml").write_text("hello = [")
    monkeypatch.setenv("SAYIT_PROMPTS", str(prompts))
    finished = sayit("ready")
    assert finished.returncode == 1
    assert "en.toml" in finished.stdout
