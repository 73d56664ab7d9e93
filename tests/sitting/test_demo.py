"""The demo answers say what their names promise, and are made once and whole."""

import shutil

import numpy as np
import pytest

from sayit import SayitError
from sayit.sitting import demo
from sayit.sitting.answers import read_folder
from sayit.sound.audio import load

pytestmark = pytest.mark.skipif(
    shutil.which("espeak-ng") is None, reason="espeak-ng is missing: apt-get install espeak-ng"
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return demo.demo_answers(tmp_path_factory.mktemp("home") / "demo")


def test_every_answer_is_there_and_names_a_question(folder):
    assert {file.stem for file in folder.iterdir()} == set(demo.ANSWERS)
    assert sum(len(entry.files) for entry in read_folder(folder)) == len(demo.ANSWERS)


def test_silence_is_silent_and_the_rest_is_not(folder):
    for stem, said in demo.ANSWERS.items():
        loudest = np.abs(load(folder / f"{stem}.wav")).max()
        assert (loudest < 1e-4) == (said is None), stem


def test_they_are_made_once(folder):
    before = {file.name: file.stat().st_mtime_ns for file in folder.iterdir()}
    assert demo.demo_answers(folder.parent) == folder
    assert {file.name: file.stat().st_mtime_ns for file in folder.iterdir()} == before


def test_nothing_half_made_is_left_when_the_making_fails(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(demo, "save", full)
    with pytest.raises(SayitError, match="free some space"):
        demo.demo_answers(tmp_path)
    assert list(tmp_path.iterdir()) == []
