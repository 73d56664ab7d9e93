"""The microphone: through PortAudio from a card made of files, and the failures at the device's edge."""

import itertools

import numpy as np
import pytest
import sounddevice
import soundfile

from sayit.errors import SayitError
from sayit.hearing import capture
from sayit.hearing.capture import BLOCK, FileMicrophone, Microphone, MicrophoneLost, blocks
from sayit.sound.audio import RATE, save
from tests.sounds import silence, tone, with_file_card


class Status:
    input_overflow = False


class Card:
    """Stands for the sound card: the test itself feeds the stream's callback."""

    rates = (RATE,)
    present = True

    def __init__(self):
        self.closed = 0
        self.looked_again = 0

    def check_input_settings(self, device, channels, dtype, samplerate):
        if samplerate not in self.rates:
            raise sounddevice.PortAudioError("Invalid sample rate")

    def query_devices(self, device, kind):
        if not self.present:
            raise sounddevice.PortAudioError("Error querying device -1")
        return {"name": "card", "default_samplerate": 44_100.0}

    def InputStream(self, *, samplerate, callback, finished_callback, **rest):  # as sounddevice names it
        self.rate, self.callback, self.finished = samplerate, callback, finished_callback
        return self

    def start(self):
        pass

    def abort(self, ignore_errors):
        pass

    def close(self, ignore_errors):
        self.closed += 1

    def feed(self, samples, status=None):
        for start in range(0, len(samples), 700):
            piece = samples[start : start + 700].reshape(-1, 1)
            self.callback(piece, len(piece), None, status or Status())


@pytest.fixture
def card(monkeypatch):
    made = Card()
    for name in ("check_input_settings", "query_devices", "InputStream"):
        monkeypatch.setattr(sounddevice, name, getattr(made, name))
    monkeypatch.setattr(sounddevice, "_terminate", lambda: None)
    monkeypatch.setattr(sounddevice, "_initialize", lambda: setattr(made, "looked_again", made.looked_again + 1))
    monkeypatch.setattr(capture, "_LOST_AFTER_S", 0.05)
    return made


def heard(microphone, count):
    return np.concatenate(list(itertools.islice(microphone.blocks(), count)))


def test_blocks_come_through_portaudio(tmp_path):
    program = (
        "import itertools, numpy as np; from sayit.hearing.capture import Microphone\n"
        "with Microphone() as microphone:\n"
        "    print(microphone.name)\n"
        "    got = list(itertools.islice(microphone.blocks(), 40))\n"
        "print({(len(block), block.dtype.name) for block in got})\n"
        f"np.save({str(tmp_path / 'got.npy')!r}, np.concatenate(got))"
    )
    sound = np.concatenate([silence(0.3), tone(2.0)])
    printed, _ = with_file_card(tmp_path, program, heard=sound)
    assert printed[:2] == ["default", "{(512, 'float32')}"]
    got = np.load(tmp_path / "got.npy")
    # The card of files keeps no time, so some of the start may have gone by.
    assert np.abs(got).max() == pytest.approx(0.5, abs=0.01)
    loud = got[np.abs(got) > 0.01]
    assert np.argmax(np.abs(np.fft.rfft(loud * np.hanning(len(loud))))) * RATE / len(loud) == pytest.approx(440, abs=10)


def test_a_file_and_a_microphone_give_the_same_blocks(tmp_path, card):
    samples = tone(0.5)
    save(samples, tmp_path / "answer.wav")
    with FileMicrophone(tmp_path / "answer.wav") as file, Microphone() as microphone:
        stream = microphone.blocks()
        card.feed(samples)
        live = list(itertools.islice(stream, len(samples) // BLOCK))
        for from_file, from_card in zip(file.blocks(), live, strict=False):
            assert from_file.shape == from_card.shape == (BLOCK,)
            assert np.allclose(from_file, from_card, atol=1e-4)


def test_the_last_block_of_a_file_is_filled_up():
    cut = list(blocks(tone(0.1)))
    assert {len(block) for block in cut} == {BLOCK} and len(cut) == 4
    assert np.array_equal(np.concatenate(cut)[:1600], tone(0.1)) and not cut[-1][64:].any()


@pytest.mark.parametrize("rate", [8_000, 22_050, 48_000])
def test_a_file_of_any_rate(tmp_path, rate):
    soundfile.write(tmp_path / "answer.flac", tone(1.0, rate), rate)
    taken = np.concatenate(list(FileMicrophone(tmp_path / "answer.flac").blocks()))[:RATE]
    assert np.argmax(np.abs(np.fft.rfft(taken))) == pytest.approx(440, abs=2)


def test_a_file_can_be_heard_again(tmp_path):
    save(tone(0.2), tmp_path / "answer.wav")
    file = FileMicrophone(tmp_path / "answer.wav")
    assert np.array_equal(np.concatenate(list(file.blocks())), np.concatenate(list(file.blocks())))


def test_a_bad_file_gets_one_line(tmp_path):
    with pytest.raises(SayitError, match="No such file"):
        FileMicrophone(tmp_path / "answer.wav")


def test_what_came_before_is_dropped(card):
    with Microphone() as microphone:
        card.feed(tone(1.0))
        stream = microphone.blocks()
        card.feed(np.full(RATE // 4, 0.25, dtype=np.float32))
        assert np.allclose(next(stream), 0.25)


def test_a_device_without_16_khz_is_resampled(card):
    card.rates = (44_100,)
    with Microphone() as microphone:
        assert card.rate == 44_100
        stream = microphone.blocks()
        card.feed(tone(1.5, 44_100))
        taken = np.concatenate(list(itertools.islice(stream, 40)))[BLOCK:]
    assert np.argmax(np.abs(np.fft.rfft(taken * np.hanning(len(taken))))) * RATE / len(taken) == pytest.approx(
        440, abs=2
    )
    # No joint between the pieces: a tone has nothing beside its own pitch.
    spectrum = np.abs(np.fft.rfft(taken * np.hanning(len(taken)))) ** 2
    near = slice(int(400 * len(taken) / RATE), int(480 * len(taken) / RATE))
    assert spectrum[near].sum() / spectrum.sum() > 0.9999


def test_lost_sound_is_counted(card):
    class Overflow:
        input_overflow = True

    with Microphone() as microphone:
        card.feed(tone(0.1), Overflow())
        assert microphone.dropped == 3


def test_a_silent_line_for_too_long_is_a_lost_microphone(card):
    with Microphone() as microphone:
        stream = microphone.blocks()
        card.feed(tone(0.1))
        with pytest.raises(MicrophoneLost) as caught:
            list(stream)
        assert "\n" not in str(caught.value) and "plug" in str(caught.value)
    assert card.closed == 1


def test_unplugged_while_listening(card):
    with Microphone() as microphone:
        stream = microphone.blocks()
        card.feed(tone(0.1))
        card.finished()
        with pytest.raises(MicrophoneLost):
            list(stream)


def test_unplugged_between_answers(card):
    with Microphone() as microphone:
        card.finished()
        with pytest.raises(MicrophoneLost):
            microphone.blocks()


def test_plugged_in_again_is_found(card):
    with Microphone() as microphone:
        card.finished()
        with pytest.raises(MicrophoneLost):
            microphone.blocks()
        card.present = False
        with pytest.raises(MicrophoneLost), Microphone():
            pass
        assert card.looked_again == 1
        card.present = True
        with Microphone() as anew:
            stream = anew.blocks()
            card.feed(tone(0.1))
            assert np.array_equal(next(stream), tone(0.1)[:BLOCK])


def test_a_microphone_that_was_not_opened(card):
    with pytest.raises(MicrophoneLost, match="not open"):
        Microphone().blocks()


def test_no_microphone_at_all(card):
    card.present = False
    with pytest.raises(MicrophoneLost) as caught, Microphone():
        pass
    assert "\n" not in str(caught.value)
