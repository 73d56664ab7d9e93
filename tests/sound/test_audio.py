"""Sound files in, at any rate, and the one clear line where they cannot be read."""

import os
import tracemalloc

import numpy as np
import pytest
import soundfile

from sayit.errors import SayitError
from sayit.sound.audio import RATE, load, resample, save


def tone(rate, seconds=0.5, hertz=440.0, peak=0.5):
    return (peak * np.sin(2 * np.pi * hertz * np.arange(int(rate * seconds)) / rate)).astype(np.float32)


def pitch(samples, rate):
    return float(np.argmax(np.abs(np.fft.rfft(samples * np.hanning(len(samples))))) * rate / len(samples))


@pytest.mark.parametrize("rate", [8_000, 11_025, 16_000, 22_050, 44_100, 48_000])
@pytest.mark.parametrize("ending", [".wav", ".flac", ".ogg"])
def test_any_rate_and_kind_arrives_at_16_khz(tmp_path, rate, ending):
    path = tmp_path / f"tone{ending}"
    soundfile.write(path, tone(rate), rate)
    samples = load(path)
    assert samples.dtype == np.float32 and samples.ndim == 1
    assert len(samples) == pytest.approx(RATE * 0.5, abs=RATE * 0.01)
    assert pitch(samples, RATE) == pytest.approx(440, abs=3)
    assert np.abs(samples).max() == pytest.approx(0.5, abs=0.05)


def test_opus_is_read(tmp_path):
    path = tmp_path / "tone.ogg"
    soundfile.write(path, tone(48_000), 48_000, format="OGG", subtype="OPUS")
    assert pitch(load(path), RATE) == pytest.approx(440, abs=3)


def test_channels_are_averaged(tmp_path):
    path = tmp_path / "two.wav"
    left = tone(RATE)
    soundfile.write(path, np.stack([left, np.zeros_like(left)], axis=1), RATE)
    assert np.abs(load(path)).max() == pytest.approx(0.25, abs=0.01)


def test_nothing_above_half_the_new_rate_comes_back_as_another_pitch():
    kept = resample(tone(48_000, hertz=11_000), 48_000)
    assert np.abs(kept[1000:-1000]).max() < 0.001


def test_loud_resampled_sound_stays_within_one(tmp_path):
    path = tmp_path / "square.wav"
    soundfile.write(path, np.sign(tone(44_100)).astype(np.float32), 44_100, subtype="FLOAT")
    assert np.abs(load(path)).max() <= 1.0


def bad_files(tmp_path):
    (tmp_path / "text.wav").write_text("four-ten five\n")
    (tmp_path / "empty.wav").write_bytes(b"")
    (tmp_path / "half.wav").write_bytes(b"RIFF\x24\x00\x00\x00WAVEfmt ")
    soundfile.write(tmp_path / "none.wav", np.zeros(0, np.float32), RATE)
    soundfile.write(tmp_path / "nan.wav", np.full(100, np.nan, np.float32), RATE, subtype="FLOAT")
    (tmp_path / "folder.wav").mkdir()
    return {
        "text.wav": "not a sound file",
        "empty.wav": "empty",
        "half.wav": "not a sound file",
        "none.wav": "no sound",
        "nan.wav": "not sound",
        "folder.wav": "is a folder",
        "missing.wav": "No such file",
    }


def test_bad_files_get_one_line_each(tmp_path):
    for name, says in bad_files(tmp_path).items():
        with pytest.raises(SayitError) as caught:
            load(tmp_path / name)
        assert says in str(caught.value) and name in str(caught.value)
        assert "\n" not in str(caught.value)


@pytest.mark.skipif(
    os.name == "nt" or getattr(os, "geteuid", lambda: 1)() == 0, reason="the superuser may read every file"
)
def test_a_file_that_may_not_be_read(tmp_path):
    path = tmp_path / "locked.wav"
    save(tone(RATE), path)
    path.chmod(0)
    with pytest.raises(SayitError, match="Cannot open"):
        load(path)


@pytest.mark.parametrize("ending", [".wav", ".flac", ".ogg"])
def test_save_and_load_agree(tmp_path, ending):
    path = tmp_path / f"tone{ending}"
    save(tone(RATE), path)
    back = load(path)
    assert len(back) == RATE // 2
    assert np.sqrt(np.mean((back - tone(RATE)) ** 2)) < (0.01 if ending == ".ogg" else 1e-4)


@pytest.mark.parametrize("name", ["tone.mp4", "tone", "nowhere/tone.wav"])
def test_save_says_what_is_wrong_with_the_place(tmp_path, name):
    with pytest.raises(SayitError):
        save(tone(RATE), tmp_path / name)


def test_a_sound_that_is_too_long_says_how_long_it_is(tmp_path):
    path = tmp_path / "long.flac"
    soundfile.write(path, np.zeros(RATE * 5 + 1, np.float32), RATE)
    assert len(load(path, longest=5.1)) == RATE * 5 + 1
    with pytest.raises(SayitError, match="too long: 6 s, at most 5"):
        load(path, longest=5)


def test_a_file_that_lies_about_its_length_is_no_way_round_it(tmp_path):
    path = tmp_path / "long.wav"
    save(np.zeros(RATE * 5, np.float32), path)
    content = bytearray(path.read_bytes())
    content[40:44] = (2**31 - 2).to_bytes(4, "little")
    path.write_bytes(content)
    with pytest.raises(SayitError, match="too long"):
        load(path, longest=4)


def test_many_channels_are_read_by_blocks(tmp_path):
    path = tmp_path / "many.flac"
    sound = np.zeros((48_000 * 30, 8), np.int16)
    sound[:, 0] = (tone(48_000, 30.0) * 32_767).astype(np.int16)
    soundfile.write(path, sound, 48_000)
    tracemalloc.start()
    try:
        samples = load(path)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert len(samples) == RATE * 30 and pitch(samples, RATE) == pytest.approx(440, abs=1)
    # The whole file has 46 MB as numbers; what is given back has 2, and is put together once.
    assert peak < 12e6


@pytest.mark.parametrize("rate", [8_000, 22_050, 44_100])
def test_block_by_block_is_the_same_as_at_once(tmp_path, rate):
    path = tmp_path / "noise.wav"
    noise = np.random.default_rng(1).uniform(-0.5, 0.5, rate * 20).astype(np.float32)
    soundfile.write(path, noise, rate, subtype="FLOAT")
    assert np.array_equal(load(path), resample(noise, rate))


def test_a_name_that_no_file_can_have_is_refused():
    with pytest.raises(SayitError, match="Cannot open"):
        load("x" * 5000)


def test_a_pipe_is_refused_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.wav")
    with pytest.raises(SayitError, match="pipe or a device"):
        load(tmp_path / "pipe.wav")
