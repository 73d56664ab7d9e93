"""Speaking: what the samples are like, the joints of numbers, and a parent's own recordings."""

import itertools
import random
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import num2words
import numpy as np
import pytest
import sounddevice
import soundfile

from sayit.errors import SayitError
from sayit.numbers import NUMBER_WORDS, name
from sayit.practice.phrases import PHRASES
from sayit.sound.audio import load
from sayit.sound.level import active_dbfs
from sayit.speaking import voices
from sayit.speaking.apart import Apart
from sayit.speaking.phrases import KEYS, open_bank
from sayit.speaking.playback import NoLoudspeaker
from sayit.speaking.recordings import Recordings, name_file
from sayit.speaking.synthesis import NoVoice
from sayit.speaking.utterance import groups, number
from sayit.speaking.voice import SPOKEN_RATE, VoiceSettings, open_voice
from sayit.speaking.voices import english_voices
from tests.sounds import tone, with_file_card

RATE = SPOKEN_RATE
on_linux = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the espeak-ng program")
BANK = Path(__file__).parents[2] / "prompts" / "en.toml"


def pauses(samples, least=0.1):
    """(start, length) in seconds of stretches 40 dB and more below the loudest 10 ms."""
    frame = RATE // 100
    levels = np.sqrt(np.mean(samples[: len(samples) // frame * frame].reshape(-1, frame) ** 2, axis=1))
    quiet = np.concatenate([[0], (levels < levels.max() / 100).astype(int), [0]])
    starts, ends = np.flatnonzero(np.diff(quiet) == 1), np.flatnonzero(np.diff(quiet) == -1)
    return [
        (a / 100, (b - a) / 100)
        for a, b in zip(starts, ends, strict=True)
        if (b - a) / 100 >= least and a > 0 and b < len(levels)
    ]


def split(words):
    return [(group.words, group.pause) for group in groups(words)]


@pytest.fixture(autouse=True)
def machine(monkeypatch):
    """Here the machine speaks, not a voice that comes with sayit: those are in test_pack.py."""
    monkeypatch.setattr("sayit.speaking.voice.open_pack", lambda wanted, rate, speed: None)
    monkeypatch.setattr(voices, "packs", dict)


@pytest.fixture
def none(tmp_path):
    return Recordings(tmp_path / "none", RATE)


@pytest.fixture
def voice(none):
    return open_voice(recordings=none, aloud=False)


# --- Joints -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        ("four-ten five", [("four-ten", "joint"), ("five", None)]),
        ("forty-five", [("forty-five", None)]),
        ("one-ten", [("one-ten", None)]),
        ("ten-ten", [("ten-ten", None)]),
        ("one hundred one-ten", [("one hundred", "joint"), ("one-ten", None)]),
        ("four thousand three-ten", [("four thousand", "thousand"), ("three-ten", None)]),
        ("four-ten five thousand", [("four-ten", "joint"), ("five thousand", None)]),
        ("four-ten thousand", [("four-ten thousand", None)]),
        ("four hundred thousand six-ten", [("four hundred thousand", "thousand"), ("six-ten", None)]),
        ("four hundred and thirty", [("four hundred and thirty", None)]),
        ("four thousand and thirty", [("four thousand", "thousand"), ("and thirty", None)]),
        ("zero", [("zero", None)]),
    ],
)
def test_where_a_number_is_parted(words, parts):
    assert split(words) == parts


def test_parting_a_number_keeps_its_words():
    for value in [*range(1_200), *random.Random(2).sample(range(1_200, 1_000_000), 2_000)]:
        for form in ("plain", "explicit"):
            words = name(value, form)
            assert " ".join(group.words for group in groups(words)) == words.replace(",", "")


# --- When each part is heard --------------------------------------------------


def held_to_the_sound(spoken):
    """Each part is loud from its start to its end, and it is still between one and the next."""
    edge = int(0.06 * RATE)
    loudest = np.abs(spoken.samples).max()
    spans = [(int(part.start * RATE), int(part.end * RATE)) for part in spoken.parts]
    for start, end in spans:
        assert np.abs(spoken.samples[start : start + edge]).max() > loudest / 100
        assert np.abs(spoken.samples[end - edge : end]).max() > loudest / 100
    for (_, end), (start, _) in itertools.pairwise(spans):
        assert start - end > 0.05 * RATE and np.abs(spoken.samples[end + 1 : start]).max() < loudest / 100
    return [part.words for part in spoken.parts]


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        ("forty-five", ["forty-five"]),
        ("four thousand and thirty", ["four thousand", "and thirty"]),
        ("three hundred four-ten five", ["three hundred", "four-ten", "five"]),
    ],
)
def test_when_each_part_of_a_number_is_heard(voice, words, parts):
    assert held_to_the_sound(voice.render(number(words))) == parts


def test_a_voice_tells_the_parts_as_the_sound_begins(voice, monkeypatch):
    told = []
    monkeypatch.setattr("sayit.speaking.voice.play", lambda *sound, **options: told.append("played") or True)
    utterance = open_bank(BANK).choose("ask.which-more", random.Random(1), first="four-ten five", second="five-ten")
    assert voice.say(utterance, begun=told.append)
    parts, played = told
    assert [part.words for part in parts] == ["four-ten", "five", "five-ten"] and played == "played"


# --- The machine's voice ----------------------------------------------------


@pytest.mark.parametrize("joint", [0.15, 0.25, 0.6])
def test_the_joint_is_heard(none, joint):
    said = open_voice(VoiceSettings(joint=joint), recordings=none, aloud=False).render(number("four-ten five")).samples
    ((_, length),) = pauses(said)
    # The voice's own soft end and beginning add to the silence between.
    assert joint - 0.02 <= length <= joint + 0.1


def test_no_joint_inside_a_plain_name(voice):
    assert pauses(voice.render(number("forty-five")).samples) == []


def test_after_thousand_the_pause_is_longer(voice):
    first, second, third = pauses(voice.render(number("four-ten five thousand three-ten one")).samples)
    assert second[1] > first[1] + 0.08 and second[1] > third[1] + 0.08


def test_slower_takes_longer(none):
    lengths = [
        len(
            open_voice(VoiceSettings(rate=rate), recordings=none, aloud=False)
            .render("Here is a number for you.")
            .samples
        )
        for rate in (90, 130, 200)
    ]
    assert lengths[0] > 1.2 * lengths[1] > 1.2 * 1.2 * lengths[2]


def test_the_default_speed_is_calm(voice):
    """At most 4 syllables a second; talk among adults runs at 4 to 5 (common practice, no source)."""
    said = "the cat sat on the mat and looked at the big red dog in the sun"
    assert 2.5 < len(said.split()) / (len(voice.render(said).samples) / RATE) < 4


@pytest.mark.parametrize("volume", [1.0, 0.6, 0.3])
def test_the_level_is_moderate_and_never_clips(none, volume):
    voice = open_voice(VoiceSettings(volume=volume), recordings=none, aloud=False)
    bank = open_bank(BANK)
    for key in KEYS:
        said = voice.render(bank.choose(key, random.Random(1), **dict.fromkeys(PHRASES[key], "six-ten six"))).samples
        assert active_dbfs(said, RATE) == pytest.approx(-20 + 20 * np.log10(volume), abs=2.5)
        assert np.abs(said).max() < 0.85


def test_nothing_starts_or_ends_with_a_click(voice):
    said = voice.render(number("eight-ten eight")).samples
    assert abs(said[0]) < 1e-3 and abs(said[-1]) < 1e-3
    assert len(said) / RATE > 1.0


def test_every_phrase_can_be_said(voice):
    bank = open_bank(BANK)
    for key in bank.wordings:
        for seed in range(3):
            # How many claps or digits there are is one word.
            numbers = {blank: "four" if blank in ("claps", "digits") else "four-ten five" for blank in PHRASES[key]}
            utterance = bank.choose(key, random.Random(seed), **numbers, child="Pip")
            seconds = len(voice.render(utterance).samples) / RATE
            assert 0.3 < seconds < 10, utterance.text
            assert seconds > 0.2 * len(utterance.text.split())


@pytest.mark.parametrize("ending", [".wav", ".flac", ".ogg"])
def test_saving_is_the_same_sound(voice, tmp_path, ending):
    path = tmp_path / f"said{ending}"
    seconds = voice.save(number("four-ten five"), path)
    assert soundfile.info(path).samplerate == RATE
    saved = load(path, RATE)
    assert len(saved) / RATE == pytest.approx(seconds, abs=0.001)
    ((_, length),) = pauses(saved)
    assert length == pytest.approx(0.25, abs=0.1)


def test_saving_to_no_such_folder_gets_one_line(voice, tmp_path):
    with pytest.raises(SayitError, match="No such folder"):
        voice.save("hello", tmp_path / "nowhere" / "said.wav")


def test_the_same_words_are_the_same_sound(none):
    renders = [open_voice(recordings=none, aloud=False).render(number("six-ten three")).samples for _ in range(5)]
    assert all(np.array_equal(renders[0], other) for other in renders)


@pytest.mark.parametrize(
    "bad", [{"rate": 20}, {"rate": 500}, {"volume": 0}, {"volume": 1.5}, {"joint": 0}, {"joint": float("nan")}]
)
def test_settings_that_make_no_sense(bad):
    with pytest.raises(SayitError, match=next(iter(bad))):
        VoiceSettings(**bad)


@on_linux
def test_a_british_voice_unless_another_is_named(none):
    assert "Great Britain" in open_voice(recordings=none, aloud=False).name
    scots = open_voice(VoiceSettings(voice="scotland"), recordings=none, aloud=False)
    assert "Scotland" in scots.name and scots.trouble is None


def test_a_voice_that_is_not_there_gets_one_line(none):
    voice = open_voice(VoiceSettings(voice="nobody at all"), recordings=none, aloud=False)
    assert not voice and "nobody at all" in voice.trouble and "\n" not in voice.trouble


# --- No voice, no loudspeaker -----------------------------------------------


@pytest.fixture
def no_espeak(monkeypatch, tmp_path):
    monkeypatch.setenv("PATH", str(tmp_path))


def test_no_voice_on_the_machine(no_espeak, none, tmp_path):
    voice = open_voice(recordings=none)
    assert not voice and "\n" not in voice.trouble
    if sys.platform.startswith("linux"):
        assert "espeak-ng" in voice.trouble
    assert voice.say(number("five")) is False
    with pytest.raises(NoVoice):
        voice.save(number("five"), tmp_path / "said.wav")
    assert not (tmp_path / "said.wav").exists()


def program(folder, script):
    path = folder / "espeak-ng"
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(0o755)


@on_linux
@pytest.mark.parametrize("script", ["exit 1", "exec /nonexistent", "echo Pty Language", "head -c 100 /dev/urandom"])
def test_an_espeak_that_does_not_work(monkeypatch, none, tmp_path, script):
    """As with its data missing: it then ends with status 1."""
    program(tmp_path, script)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    voice = open_voice(recordings=none)
    assert not voice and "\n" not in voice.trouble


@on_linux
@pytest.mark.parametrize("script", ["exit 1", "exit 0", "echo text > $8"])
def test_an_espeak_that_lists_voices_and_says_nothing(monkeypatch, none, tmp_path, script):
    listing = "Pty Language Age/Gender VoiceName File\\n 2 en-gb --/M English gmw/en"
    program(tmp_path, f'if [ "$1" = --voices=en ]; then printf "{listing}"; exit 0; fi\n{script}')
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    voice = open_voice(recordings=none, aloud=False)
    assert voice
    with pytest.raises(NoVoice, match="made no sound"):
        voice.render("hello")
    assert voice.say("hello") is False and "made no sound" in voice.trouble


@on_linux
def test_what_looks_like_an_option_is_said(voice):
    assert len(voice.render("-w five").samples) / RATE > 0.5
    assert len(voice.render("--version").samples) / RATE > 0.5


# A stand-in for the program that holds pyttsx3, as the one on macOS answers: it lists voices and writes AIFF.
PROGRAM = """
import json, os, signal, sys, time
import numpy, soundfile
for line in sys.stdin:
    request = json.loads(line)
    if request["do"] == "list":
        found = [["com.de", "Anna", ["de_DE"]], ["com.us", "Sam", ["en_US"]], ["com.gb", "Dan", ["en_GB"]]]
        print(json.dumps({"voices": found}), flush=True)
        continue
    if request["text"] == "crash":
        os._exit(1)
    if request["text"] == "killed":
        os.kill(os.getpid(), signal.SIGKILL)
    if request["text"] == "hang":
        sys.stdin.read()
    if request["text"] == "chatter":
        print("speaking now ...", flush=True)
        continue
    if request["text"] == "refuse":
        print(json.dumps({"error": "no"}), flush=True)
        continue
    assert (request["voice"], request["rate"]) == ("com.gb", 110)
    soundfile.write(request["path"], 0.5 * numpy.sin(numpy.arange(22050) / 10), 44100, format="AIFF")
    print(json.dumps({"path": request["path"]}), flush=True)
"""


@pytest.fixture
def system(monkeypatch):
    """At the edge of a system that is not here."""

    def system(*command, patience=30.0):
        apart = Apart(command, patience)
        begun.append(apart)
        monkeypatch.setattr(sys, "platform", "darwin")
        monkeypatch.setattr(voices, "SYSTEM", apart)
        return apart

    begun = []
    yield system
    for apart in begun:
        apart.close()


def test_the_systems_own_voices(system, none):
    system(sys.executable, "-c", PROGRAM)
    assert english_voices() == ("System", "Sam", "Dan")
    voice = open_voice(VoiceSettings(rate=110), recordings=none, aloud=False)
    assert voice.name == "Dan"
    assert len(voice.render("hello").samples) / RATE == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize("death", ["crash", "killed", "hang", "chatter", "refuse"])
def test_a_voice_that_dies_costs_one_sentence(system, none, monkeypatch, death):
    apart = system(sys.executable, "-c", PROGRAM)
    monkeypatch.setattr("sayit.speaking.voice.play", lambda *sound, **options: True)
    voice = open_voice(VoiceSettings(rate=110), recordings=none, aloud=False)
    if death == "hang":
        apart._patience = 0.5
    assert voice.say(death) is False
    apart._patience = 30.0
    assert "made no sound" in voice.trouble and "\n" not in voice.trouble
    assert voice, "the next sentence is to be tried"
    assert voice.say("hello") is True and voice.trouble is None


def test_a_voice_that_dies_each_time_is_given_up(system, none):
    system(sys.executable, "-c", PROGRAM)
    voice = open_voice(VoiceSettings(rate=110), recordings=none, aloud=False)
    for tried in range(3):
        assert voice, tried
        assert voice.say("crash") is False
    assert not voice and "made no sound" in voice.trouble


def test_one_program_at_a_time_whoever_asks(system):
    count = "import sys\nfor n, line in enumerate(sys.stdin): print('{\"asked\": %d}' % n, flush=True)"
    apart = system(sys.executable, "-c", count)
    with ThreadPoolExecutor(8) as pool:
        asked = [reply["asked"] for reply in pool.map(lambda n: apart.ask(do=n), range(40))]
    assert sorted(asked) == list(range(40)), "one program answered all"


def test_the_real_pyttsx3_lists_voices_to_several_threads_at_once(system):
    """pyttsx3 2.99; asked from two threads of one process it once ended the process."""
    apart = system(*voices.SYSTEM.command)
    with ThreadPoolExecutor(4) as pool:
        listed = list(pool.map(lambda n: apart.ask(do="list")["voices"], range(12)))
    assert all(one == listed[0] for one in listed)
    assert any("en" in languages[0] for _, _, languages in listed[0] if languages)
    with ThreadPoolExecutor(4) as pool:
        names = list(pool.map(lambda n: english_voices(), range(12)))
    assert len(set(names)) == 1 and names[0]


@on_linux
def test_the_list_is_asked_for_once(monkeypatch, tmp_path):
    listing = "Pty Language Age/Gender VoiceName File\\n 2 en-gb --/M English_(Hill) gmw/en"
    program(tmp_path, f'echo asked >> {tmp_path}/count; printf "{listing}"')
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    with ThreadPoolExecutor(8) as pool:
        assert set(pool.map(lambda n: english_voices(), range(20))) == {("System", "English (Hill)")}
    assert (tmp_path / "count").read_text().split() == ["asked"]


@pytest.mark.parametrize(
    "end", ["import os; os._exit(3)", "print('nonsense', flush=True)", 'print(\'{"error": "none"}\', flush=True)']
)
def test_a_system_without_voices(system, none, end):
    system(sys.executable, "-c", end)
    voice = open_voice(recordings=none, aloud=False)
    assert not voice and "speech settings" in voice.trouble
    assert english_voices() == ()


def test_no_loudspeaker(monkeypatch, none):
    def nothing(device, kind):
        raise sounddevice.PortAudioError("Error querying device -1")

    monkeypatch.setattr(sounddevice, "query_devices", nothing)
    voice = open_voice(recordings=none)
    assert not voice and "loudspeaker" in voice.trouble
    assert len(voice.render(number("five")).samples) > 0


def test_a_loudspeaker_that_goes_away(monkeypatch, none):
    def gone(*args, **options):
        raise NoLoudspeaker("It went away.")

    voice = open_voice(recordings=none, aloud=False)
    monkeypatch.setattr("sayit.speaking.voice.play", gone)
    assert voice and voice.say(number("five")) is False
    assert voice.trouble == "It went away."


def test_saying_plays_what_saving_writes(tmp_path):
    path = tmp_path / "said.wav"
    program = (
        "from sayit.speaking.voice import open_voice; from sayit.speaking.utterance import number\n"
        "voice = open_voice(); print(voice.say(number('four-ten five')))\n"
        f"voice.save(number('four-ten five'), {str(path)!r})"
    )
    printed, played = with_file_card(tmp_path, program)
    saved = load(path, RATE)
    assert printed[0] == "True"
    # 16-bit steps in the file, none on the card.
    assert np.allclose(played[: len(saved)], saved, atol=1e-4) and not played[len(saved) :].any()


# --- A parent's own voice ---------------------------------------------------


def record(folder, name, hertz, seconds=0.3, peak=0.2, rate=44_100):
    """A "recording" that can be told by its pitch, with silence around it."""
    path = Path(folder) / f"{name}.wav"
    path.parent.mkdir(parents=True, exist_ok=True)
    quiet = np.zeros(rate // 2, dtype=np.float32)
    soundfile.write(path, np.concatenate([quiet, tone(seconds, rate, hertz, peak), quiet]), rate)


def pitches(samples):
    """Pitch of each stretch between silences."""
    loud = np.abs(samples) > 1e-3
    edges = np.flatnonzero(np.diff(np.concatenate([[0], _closed(loud), [0]])))
    found = []
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        piece = samples[start:end] * np.hanning(end - start)
        found.append(round(np.argmax(np.abs(np.fft.rfft(piece, 65_536))) * RATE / 65_536 / 10) * 10)
    return found


def _closed(loud):
    gap = int(0.03 * RATE)
    sums = np.convolve(loud.astype(int), np.ones(gap, dtype=int))[: len(loud)]
    return (sums > 0).astype(int)


@pytest.fixture
def recorded(tmp_path):
    for word, hertz in {"four": 400, "ten": 1000, "five": 500, "thousand": 1500, "forty": 800}.items():
        record(tmp_path / "words", word, hertz)
    return tmp_path


def test_numbers_are_pieced_from_recorded_words(recorded):
    voice = open_voice(recordings=Recordings(recorded, RATE), aloud=False)
    assert pitches(voice.render(number("four-ten five")).samples) == [400, 1000, 500]
    assert pitches(voice.render(number("forty-five")).samples) == [800, 500]
    thousands = voice.render(number("four-ten five thousand"))
    assert pitches(thousands.samples) == [400, 1000, 500, 1500]
    assert held_to_the_sound(thousands) == ["four-ten", "five thousand"]


def test_the_joint_stays_longer_than_the_gap_between_words(recorded):
    said = open_voice(recordings=Recordings(recorded, RATE), aloud=False).render(number("four-ten five")).samples
    gap, joint = pauses(said, least=0.03)
    assert 0.03 <= gap[1] <= 0.12 and 0.23 <= joint[1] <= 0.33


def test_one_missing_word_and_the_machine_says_the_whole_number(recorded):
    machine = (
        open_voice(recordings=Recordings(recorded / "none", RATE), aloud=False).render(number("four-ten six")).samples
    )
    mixed = open_voice(recordings=Recordings(recorded, RATE), aloud=False).render(number("four-ten six")).samples
    assert len(mixed) == pytest.approx(len(machine), rel=0.05)
    assert 400 not in pitches(mixed)[:1]


def test_a_pair_recorded_in_one_goes_before_its_parts(recorded):
    record(recorded / "words", "four-ten", 1250)
    voice = open_voice(recordings=Recordings(recorded, RATE), aloud=False)
    assert pitches(voice.render(number("four-ten five")).samples) == [1250, 500]


def test_recorded_phrases_stand_around_a_number(recorded):
    bank = open_bank(BANK)
    utterance = next(
        said
        for seed in range(99)
        if (said := bank.choose("ask.say-back", random.Random(seed), number="four-ten five")).text.startswith("Listen:")
    )
    record(recorded / "phrases", "ask.say-back-1a", 600)
    record(recorded / "phrases", "ask.say-back-1b", 700)
    voice = open_voice(recordings=Recordings(recorded, RATE), aloud=False)
    assert pitches(voice.render(utterance).samples) == [600, 400, 1000, 500, 700]


def test_loud_and_soft_recordings_come_out_alike(tmp_path):
    record(tmp_path / "words", "four", 400, peak=0.9)
    record(tmp_path / "words", "ten", 1000, peak=0.02)
    said = open_voice(recordings=Recordings(tmp_path, RATE), aloud=False).render(number("four-ten")).samples
    cut = pauses(said, least=0.03)[0][0]
    first, second = said[: int(cut * RATE)], said[int((cut + 0.05) * RATE) :]
    assert active_dbfs(first, RATE) == pytest.approx(active_dbfs(second, RATE), abs=1.0)


def test_a_recorded_name_stands_in_what_the_machine_says(recorded):
    """Kept as at the desk, and only for the child that it was made for."""
    utterance = {
        child: next(
            said
            for seed in range(99)
            if f"Hi, {child}! "
            in (said := open_bank(BANK).choose("session.hello", random.Random(seed), child=child)).text
        )
        for child in ("Pip", "Wren")
    }
    bare = {
        child: open_voice(recordings=Recordings(recorded / "none", RATE), aloud=False).render(said)
        for child, said in utterance.items()
    }
    record(recorded / "names", name_file("pip"), 600)
    voice = open_voice(recordings=Recordings(recorded, RATE), aloud=False)
    assert np.array_equal(voice.render(utterance["Wren"]).samples, bare["Wren"].samples)
    heard = voice.render(utterance["Pip"]).samples
    assert _share_of(heard, 600) > 5 * _share_of(bare["Pip"].samples, 600)
    assert len(heard) / RATE > 1.5, "what stands around the name is said, too"


def _share_of(samples, pitch):
    """The share of the energy within 10 Hz of a pitch."""
    power = np.abs(np.fft.rfft(samples)) ** 2
    pitches = np.fft.rfftfreq(len(samples), 1 / RATE)
    return power[np.abs(pitches - pitch) < 10].sum() / power.sum()


def test_recordings_serve_where_the_machine_has_no_voice(no_espeak, recorded, tmp_path):
    voice = open_voice(recordings=Recordings(recorded, RATE), aloud=False)
    assert voice.save(number("four-ten five"), tmp_path / "said.wav") > 0.9


def test_a_recording_that_cannot_be_read_gets_one_line(recorded):
    (recorded / "words" / "five.wav").write_text("not a sound")
    voice = open_voice(recordings=Recordings(recorded, RATE), aloud=False)
    with pytest.raises(SayitError, match=r"five\.wav"):
        voice.render(number("four-ten five"))
    soundfile.write(recorded / "words" / "five.wav", np.zeros(4000, np.float32), 16_000)
    with pytest.raises(SayitError, match="only silence"):
        open_voice(recordings=Recordings(recorded, RATE), aloud=False).render(number("four-ten five"))


def test_what_is_still_to_record_and_what_belongs_nowhere(recorded):
    slots = open_bank(BANK).slots()
    for stem in ("session.godbye-1", "session.goodbye-1", "ask-back-1b"):
        record(recorded / "phrases", stem, 600)
    made = Recordings(recorded, RATE)
    former, wrong = sorted(made.strays(slots))
    assert "session.godbye-1.wav" in wrong and "session.goodbye-1.wav?" in wrong
    assert "ask-back-1b.wav" in former and former.endswith("call it ask.say-back-1b.wav.")
    assert set(made.missing_words()) == set(NUMBER_WORDS) - {"four", "ten", "five", "thousand", "forty"}


def test_the_words_to_record_say_every_number():
    """The words of num2words 0.5.14's English names, and those of the tens names."""
    said = set()
    for value in [*range(2_000), *range(2_000, 1_000_000, 997)]:
        said |= set(num2words.num2words(value).replace("-", " ").replace(",", "").split())
        said |= set(name(value, "explicit").replace("-", " ").split())
    assert said == set(NUMBER_WORDS)


def test_the_guide_for_parents_lists_the_words():
    guide = (BANK.parent / "README.md").read_text(encoding="utf-8").replace("\n>", "")
    assert " ".join(NUMBER_WORDS) in " ".join(guide.split())
    assert f"These {len(NUMBER_WORDS)} words" in guide
