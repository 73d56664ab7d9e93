"""Teens and tens are told apart by the length of their last syllable, as a careful speaker does (common practice, no source)."""

import numpy as np
import pytest

from sayit.speaking.recordings import Recordings
from sayit.speaking.voice import SPOKEN_RATE, VoiceSettings, open_voice


@pytest.fixture(scope="module")
def measure(recipe):
    return recipe("prompts", "teen_ty")


def test_the_last_syllable_begins_in_the_stop_before_it(measure):
    tone = np.sin(2 * np.pi * 220 * np.arange(SPOKEN_RATE) / SPOKEN_RATE)
    silence = np.zeros(SPOKEN_RATE // 20)
    word = np.concatenate([silence, 0.2 * tone[: SPOKEN_RATE // 4], silence, 0.1 * tone[: SPOKEN_RATE // 5], silence])
    length, level = measure.last_syllable(word)
    # A stop of 50 ms belongs to it in part.
    assert 0.2 <= length <= 0.26 and -8 <= level <= -4


@pytest.mark.parametrize("pack", ["British", "American"])
def test_a_voice_that_comes_along_draws_out_the_teen(measure, pack):
    voice = open_voice(VoiceSettings(voice=pack), recordings=Recordings("none", SPOKEN_RATE), aloud=False)
    assert "longer in 7 of 7" in measure.told(voice)
