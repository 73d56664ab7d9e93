"""The embedded recogniser on real audio: synthetic voices, children, other speech, silence."""

import subprocess
import sys

import numpy as np
import pytest

from sayit import SayitError
from sayit.hearing import whisper_listener
from sayit.numbers import read
from sayit.sound.audio import load
from tests import speech_data


@pytest.fixture(scope="module")
def listener():
    return whisper_listener.WhisperListener()


@pytest.fixture
def say(tmp_path):
    def say(text, voice="flite rms"):
        path = tmp_path / "answer.wav"
        speech_data.speak(voice, text, path)
        return np.pad(load(path), 4_000)

    return say


@pytest.mark.parametrize(
    ("text", "value", "form"),
    [
        ("four ten, five", 45, "explicit"),
        ("forty five", 45, "plain"),
        ("thirteen", 13, "plain"),
        ("thirty", 30, "plain"),
        ("one ten, three", 13, "explicit"),
        ("eighty", 80, "plain"),
        ("eight", 8, "both"),
        ("four thousand, three ten", 4030, "explicit"),
        ("four hundred thirty", 430, "plain"),
    ],
)
def test_both_forms_and_the_usual_confusions_stay_apart(listener, say, text, value, form):
    heard = listener.hear(say(text))
    reading = read(heard.words)
    assert (reading.value, reading.form) == (value, form)
    assert heard.clear
    assert heard.listener == "whisper"


def test_digits_are_words_never_figures(listener, say):
    heard = listener.hear(say("three, two, two, seven"))
    assert heard.words == "three two two seven"
    assert not any(char.isdigit() for hypothesis in heard.alternatives for char in hypothesis.words)


@pytest.mark.parametrize("text", ["I would like some water please", "where is my yellow car", "I don't know"])
def test_other_speech_is_no_clear_number(listener, say, text):
    heard = listener.hear(say(text))
    assert not (heard.words and heard.clear)


def test_silence_noise_and_a_click_are_no_number(listener):
    random = np.random.default_rng(1)
    click = np.zeros(16_000, np.float32)
    click[8_000:8_020] = 0.9
    for samples in (
        np.zeros(16_000, np.float32),
        random.normal(0, 0.02, 32_000).astype(np.float32),
        click,
        np.zeros(0, np.float32),
    ):
        heard = listener.hear(samples)
        assert heard.words == ""


def test_an_answer_longer_than_the_window_is_not_judged(listener, say):
    heard = listener.hear(np.tile(say("forty five"), 30))
    assert not (heard.words and heard.clear)


@pytest.mark.skipif(not speech_data.present(), reason=speech_data.MISSING)
def test_real_children_are_heard(listener):
    """speechocean762 (Zhang et al. 2021, CC BY 4.0): 12 strings of as many speakers."""
    rows = {row.speaker: row for row in speech_data.recordings("numbers")}
    rows = [rows[speaker] for speaker in sorted(rows)][:12]
    heard = [listener.hear(load(row.path)).words == row.words for row in rows]
    assert sum(heard) >= 9


def test_other_weights_are_refused(monkeypatch):
    monkeypatch.setattr(whisper_listener, "_SHA256", "0" * 64)
    with pytest.raises(SayitError, match="reinstall"):
        whisper_listener.WhisperListener()


def test_naming_does_not_load_the_recogniser():
    code = "import sys, sayit.numbers, sayit.hearing.listener; sys.exit('ctranslate2' in sys.modules or 'numpy' in sys.modules)"
    subprocess.run([sys.executable, "-c", code], check=True)
