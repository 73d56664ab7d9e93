"""The voices that come with sayit: what they hold, how pieces are joined, and when another voice speaks."""

import itertools
import random
from pathlib import Path

import numpy as np
import pytest
import soxr

from sayit.errors import SayitError
from sayit.numbers import name
from sayit.sound.level import active_dbfs
from sayit.speaking.pack import Pack, clips_of, packs
from sayit.speaking.phrases import open_bank
from sayit.speaking.recordings import Recordings
from sayit.speaking.stretching import stretched
from sayit.speaking.utterance import number, text
from sayit.speaking.voice import SPOKEN_RATE, VoiceSettings, open_voice
from sayit.speaking.voices import english_voices
from tests.sounds import tone

RATE = SPOKEN_RATE
NAMES = sorted(packs())
BANK = Path(__file__).parents[2] / "prompts" / "en.toml"


@pytest.fixture
def speaker(tmp_path):
    def make(voice=None, folder=tmp_path / "none", **settings):
        return open_voice(VoiceSettings(voice=voice, **settings), recordings=Recordings(folder, RATE), aloud=False)

    return make


@pytest.fixture
def no_machine(monkeypatch, tmp_path):
    """Nothing that the system could speak with."""
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr("sys.platform", "linux")


def test_a_british_and_an_american_voice_come_along():
    assert NAMES == ["American", "British"]
    assert english_voices()[:2] == ("British", "American")
    for folder in packs().values():
        assert sum(path.stat().st_size for path in folder.iterdir()) < 6_000_000
        assert "Apache" in (folder / "LICENCE.md").read_text()


@pytest.mark.parametrize("voice", NAMES)
def test_every_number_in_every_form_is_there(voice, long):
    pack = Pack(packs()[voice], RATE)
    several = range(1_000_000) if long else random.Random(3).sample(range(1_000, 1_000_000), 2_000)
    for value in itertools.chain(range(1_000), several):
        for form, use_and, falls in itertools.product(("plain", "explicit"), (False, True), (False, True)):
            words = name(value, form, use_and=use_and)
            clips = pack.number(words, falls=falls)
            assert clips and " ".join(clip[:-1] for clip, _ in clips) == words.replace(",", "")
            assert [clip[-1] for clip, _ in clips] == [","] * (len(clips) - 1) + [".,"[not falls]]


@pytest.mark.parametrize(
    ("words", "clips"),
    [
        ("four-ten five", [("four-ten,", "joint"), ("five.", "")]),
        ("four hundred thirty", [("four hundred,", ""), ("thirty.", "")]),
        ("four thousand and three-ten", [("four thousand,", "thousand"), ("and three-ten.", "")]),
        ("three hundred and four-ten thousand", [("three hundred,", "joint"), ("and four-ten thousand.", "")]),
        ("four, zero, three", [("four,", "digit"), ("zero,", "digit"), ("three.", "")]),
    ],
)
def test_which_pieces_say_a_number(words, clips):
    assert clips_of(words, falls=True) == clips


@pytest.mark.parametrize("voice", NAMES)
def test_phrases_that_are_said_in_another_voice_are_few(voice):
    """Whoever rewords the bank makes the pack anew some day; until then the machine's voice stands in."""
    pack = Pack(packs()[voice], RATE)
    every = set(open_bank(BANK).slots().values())
    lacking = sorted(words for words in every if words not in pack)
    assert len(lacking) < len(every) / 4, f"make the clips of {lacking}: prompts/recipe/README.md"


@pytest.mark.parametrize("voice", NAMES)
def test_no_clip_clips_clicks_or_stands_out(voice):
    """True peak as in ITU-R BS.1770: at four times the rate."""
    pack = Pack(packs()[voice], RATE)
    for clip in random.Random(4).sample(sorted(pack._clips), 60):
        samples = pack.clip(clip)
        assert np.abs(soxr.resample(samples, RATE, 4 * RATE)).max() < 10 ** (-1 / 20), clip
        assert np.abs(samples[[0, -1]]).max() < 0.01, clip
        assert active_dbfs(samples, RATE) == pytest.approx(pack.level, abs=3), clip


@pytest.mark.parametrize("speed", [80, 130, 160])
def test_joins_have_no_steps_and_parts_are_where_they_are_told(speaker, speed):
    spoken = speaker("british", rate=speed).render(number("three hundred four-ten five thousand and three-ten"))
    assert [part.words for part in spoken.parts] == ["three hundred", "four-ten", "five thousand", "and three-ten"]
    for before, after in itertools.pairwise(spoken.parts):
        still = spoken.samples[int(before.end * RATE) + 1 : int(after.start * RATE)]
        assert not still.any() and len(still) > 0.2 * RATE
    for part in spoken.parts:
        ends = spoken.samples[[round(part.start * RATE), round(part.end * RATE) - 1]]
        assert np.abs(ends).max() < 0.01
        assert np.abs(spoken.samples[int(part.start * RATE) : int(part.end * RATE)]).max() > 0.05


def test_slower_and_faster_keep_the_pitch():
    hum = tone(0.5, RATE, hertz=220)

    def pitch(samples):
        return np.abs(np.fft.rfft(samples[2_000:-2_000], 1 << 17)).argmax()

    for speed in (0.8, 0.9, 1.1, 1.2):
        made = stretched(hum, RATE, speed)
        assert len(made) == pytest.approx(len(hum) / speed, abs=2)
        assert pitch(made) == pytest.approx(pitch(hum), rel=0.02)
        assert np.abs(np.diff(made)).max() < 1.5 * np.abs(np.diff(hum)).max()


def test_the_parents_recording_then_the_pack_then_the_machine(speaker, tmp_path):
    import soundfile

    (tmp_path / "phrases").mkdir()
    soundfile.write(tmp_path / "phrases" / "mine-1.wav", tone(0.7, RATE), RATE)
    own = speaker(folder=tmp_path)
    assert len(own.render(text("Yes!", slot="mine-1")).samples) == pytest.approx(0.7 * RATE, rel=0.1)
    pack = Pack(packs()["British"], RATE)
    assert np.abs(own.render("Yes!").samples).argmax() == np.abs(pack.clip("Yes!")).argmax()
    assert len(own.render("Purple elephants dance.").samples) > RATE, "said by the machine"


def test_without_a_system_voice_all_but_odd_words_are_said(speaker, no_machine, monkeypatch):
    voice = speaker()
    assert voice and voice.trouble is None
    assert voice.render(open_bank(BANK).choose("ask.say-back", random.Random(1), number="four-ten five")).seconds > 1
    monkeypatch.setattr("sayit.speaking.voice.play", lambda *sound, **options: True)
    assert voice.say("Purple elephants dance.") is False
    assert "lacks “Purple elephants dance.”" in voice.trouble and "\n" not in voice.trouble
    assert voice, "the next sentence is to be tried"
    assert voice.say(number("five")) and voice.trouble is None


def test_voices_are_chosen_by_name(speaker):
    assert speaker().name == "British" and speaker("american").name == "American"
    assert speaker("System").name not in NAMES


def test_a_damaged_voice_gets_one_line(tmp_path, monkeypatch):
    folder = tmp_path / "voices" / "broken"
    folder.mkdir(parents=True)
    (folder / "index.json").write_text("{}")
    monkeypatch.setenv("SAYIT_PROMPTS", str(tmp_path))
    with pytest.raises(SayitError, match="broken") as told:
        open_voice(aloud=False, recordings=Recordings(tmp_path / "none", RATE))
    assert "\n" not in str(told.value)
