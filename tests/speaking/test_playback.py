"""Playing: through PortAudio onto a card made of files, and the failures at the device's edge."""

import numpy as np
import pytest
import sounddevice

from sayit.speaking import playback
from sayit.speaking.playback import NoLoudspeaker, loudspeaker, play
from tests.sounds import tone, with_file_card

RATE = 22_050


class Card:
    """Stands for the sound card: takes what PortAudio would."""

    rates = (RATE, 48_000)

    def __init__(self):
        self.calls, self.taken, self.rate = [], [], None

    def check_output_settings(self, device, channels, dtype, samplerate):
        if samplerate not in self.rates:
            raise sounddevice.PortAudioError("Invalid sample rate")

    def query_devices(self, device, kind):
        return {"name": "card", "default_samplerate": 48_000.0}

    def OutputStream(self, samplerate, channels, dtype, device):  # as sounddevice names it
        self.rate = samplerate
        return self

    def __enter__(self):
        self.calls.append("start")
        return self

    def __exit__(self, *error):
        self.calls.append("close")

    def write(self, samples):
        self.taken.append(samples)

    def stop(self):
        self.calls.append("stop")

    def abort(self):
        self.calls.append("abort")


@pytest.fixture
def card(monkeypatch):
    made = Card()
    for name in ("check_output_settings", "query_devices", "OutputStream"):
        monkeypatch.setattr(sounddevice, name, getattr(made, name))
    return made


def test_all_of_it_reaches_the_device(tmp_path):
    program = (
        "import numpy as np; from sayit.speaking.playback import play, loudspeaker\n"
        f"x = (0.3 * np.sin(np.arange({RATE}) * 0.1)).astype('f')\n"
        f"print(loudspeaker()); print(play(x, {RATE}))"
    )
    printed, played = with_file_card(tmp_path, program)
    assert printed[:2] == ["default", "True"]
    wanted = 0.3 * np.sin(np.arange(RATE) * 0.1)
    assert np.allclose(played[:RATE], wanted, atol=1e-6)
    assert not played[RATE:].any()


def test_it_waits_for_the_end_of_the_sound(card):
    assert play(tone(0.4, RATE), RATE)
    assert card.calls == ["start", "stop", "close"]
    assert np.array_equal(np.concatenate(card.taken)[:, 0], tone(0.4, RATE))


def test_it_can_be_cut_off(card):
    answers = iter([False, False, True])
    assert not play(tone(2, RATE), RATE, stop=lambda: next(answers))
    assert card.calls == ["start", "abort", "close"]
    assert len(np.concatenate(card.taken)) <= 0.11 * RATE


def test_a_card_that_refuses_the_rate_gets_its_own(card):
    card.rates = (48_000,)
    assert play(tone(0.5, RATE), RATE)
    taken = np.concatenate(card.taken)[:, 0]
    assert card.rate == 48_000 and len(taken) == pytest.approx(24_000, abs=50)
    assert np.argmax(np.abs(np.fft.rfft(taken))) * 48_000 / len(taken) == pytest.approx(440, abs=3)


def test_a_card_that_goes_away_gets_one_line(card, monkeypatch):
    def gone(samples):
        raise sounddevice.PortAudioError("Unanticipated host error")

    monkeypatch.setattr(card, "write", gone)
    with pytest.raises(NoLoudspeaker) as caught:
        play(tone(0.2, RATE), RATE)
    assert "\n" not in str(caught.value) and "loudspeaker" in str(caught.value)
    assert card.calls[-1] == "close"


def test_no_card_gets_one_line(monkeypatch):
    def none(device, kind):
        raise sounddevice.PortAudioError("Error querying device -1")

    monkeypatch.setattr(sounddevice, "query_devices", none)
    monkeypatch.setattr(sounddevice, "check_output_settings", lambda *a, **k: none(None, "output"))
    with pytest.raises(NoLoudspeaker):
        loudspeaker()
    with pytest.raises(NoLoudspeaker):
        play(tone(0.1, RATE), RATE)


def test_no_sound_library_gets_one_line(monkeypatch):
    import builtins

    real = builtins.__import__

    def absent(name, *rest, **options):
        if name == "sounddevice":
            raise OSError("PortAudio library not found")
        return real(name, *rest, **options)

    monkeypatch.setattr(builtins, "__import__", absent)
    with pytest.raises(NoLoudspeaker, match="libportaudio2"):
        playback.play(tone(0.1, RATE), RATE)
