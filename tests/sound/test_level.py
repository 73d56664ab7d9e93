"""Levels against sounds whose level is known by construction, and verdicts on real children."""

import numpy as np
import pytest

from sayit.sound.audio import RATE, load
from sayit.sound.level import active_dbfs, measure
from tests.sounds import digit_strings, needs_children, room, silence, spoken, tone


@pytest.fixture(scope="module")
def speech(tmp_path_factory):
    folder = str(tmp_path_factory.mktemp("spoken"))
    said = np.concatenate(
        [silence(0.5), spoken("four-ten, five", folder), silence(0.5), spoken("thirteen", folder), silence(0.5)]
    )
    return said * np.float32(10 ** ((-25 - active_dbfs(said)) / 20))


def test_a_sine_of_full_scale_is_3_db_below_a_square():
    level = measure(tone(1.0, peak=1.0))
    assert level.rms == pytest.approx(-3.01, abs=0.02)
    assert level.peak == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize("gain", [-40, -20, -6])
def test_levels_follow_the_gain(gain):
    level = measure(tone(1.0, peak=10 ** (gain / 20)))
    assert level.peak == pytest.approx(gain, abs=0.1)
    assert level.rms == pytest.approx(gain - 3.01, abs=0.1)


def test_pauses_do_not_lower_the_level_of_speech():
    alone = active_dbfs(tone(1.0))
    assert active_dbfs(np.concatenate([silence(3), tone(1.0), silence(3)])) == pytest.approx(alone, abs=0.1)
    assert measure(np.concatenate([silence(3), tone(1.0)])).rms < alone - 5


@pytest.mark.parametrize("snr", [5, 15, 30])
def test_speech_over_noise(snr):
    """A tone on half of the time, so that both levels are known."""
    noise = room(4, dbfs=-30 - snr)
    noise[: 2 * RATE] += tone(2, peak=10 ** (-30 / 20) * 2**0.5)
    level = measure(noise)
    # The tone's frames hold the noise too.
    assert level.snr == pytest.approx(10 * np.log10(1 + 10 ** (snr / 10)), abs=1.0)
    assert level.noise == pytest.approx(-30 - snr, abs=1.0)


def test_good_speech(speech):
    assert measure(speech + room(len(speech) / RATE, -60)[: len(speech)]).verdict == "good"


@pytest.mark.parametrize("gain", [-25, -35])
def test_too_quiet(speech, gain):
    level = measure(speech * np.float32(10 ** (gain / 20)))
    assert level.verdict == "too quiet" and "nearer" in level.advice


def test_too_loud(speech):
    level = measure(np.clip(speech * 30, -1, 1))
    assert level.verdict == "too loud" and level.clipped > 0.01
    assert "down" in level.advice


def test_a_single_full_sample_is_not_clipping(speech):
    touched = speech.copy()
    touched[[5000, 9000, 12000]] = 1.0
    assert measure(touched).clipped == 0


@pytest.mark.parametrize(("below", "verdict"), [(0, "noisy room"), (4, "noisy room"), (20, "good")])
def test_noise_so_far_below_the_speech(speech, below, verdict):
    assert measure(speech + room(len(speech) / RATE + 1, -25 - below)[: len(speech)]).verdict == verdict


@pytest.mark.parametrize("samples", [silence(2), silence(0), silence(0.001), silence(2) + np.float32(2e-4)])
def test_a_dead_line(samples):
    level = measure(samples)
    assert level.verdict == "nothing" and "plugged in" in level.advice
    assert all(np.isfinite([level.rms, level.peak, level.noise, level.snr]))


@needs_children
def test_children_recorded_for_a_corpus_are_good():
    """speechocean762 (Zhang et al. 2021, arXiv 2104.01378): read in quiet rooms."""
    verdicts = [measure(load(path)).verdict for path in digit_strings()]
    assert len(verdicts) >= 78 and set(verdicts) == {"good"}


@needs_children
def test_the_same_children_from_afar_loud_and_in_noise():
    samples = [load(path) for path in digit_strings()[::4]]

    def told(change):
        return [measure(change(x)).verdict for x in samples]

    def at(x, dbfs):
        return x * np.float32(10 ** ((dbfs - active_dbfs(x)) / 20))

    assert set(told(lambda x: at(x, -50))) == {"too quiet"}
    assert set(told(lambda x: np.clip(at(x, -1), -1, 1))) == {"too loud"}
    assert set(told(lambda x: at(x, -25) + room(len(x) / RATE + 1, -28)[: len(x)])) == {"noisy room"}
