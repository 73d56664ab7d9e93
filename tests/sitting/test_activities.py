"""A short sitting of each activity: spoken ones through the real listener, built and chosen ones through a pseudo-terminal.

What is spoken comes from flite's voice slt (or espeak-ng), and its words are written down here, not made by
the program that is tested.
"""

import os
import shutil
import subprocess
import sys

import pytest

from sayit.hearing.capture import FileMicrophone
from sayit.practice.activities import ACTIVITIES, question_from_key
from sayit.practice.free import FreeGuide
from sayit.practice.path import load_path
from sayit.sitting.events import Listening
from sayit.store.learning import learner_of
from sayit.terminal.keys import open_keys
from sayit.terminal.typed import KeyHands, KeyParent
from tests.speech_data import speak

SPOKEN = {
    "say-back": [
        ("teens/say-back:explicit/13", "one ten, three", "right", None),
        ("whole-tens/say-back:plain/30", "thirty", "right", None),
        ("teens/say-back:plain/13", "thirty", "wrong", "teen-ty-swap"),
    ],
    "other-way": [
        ("tens-and-ones/other-way:explicit/45", "four ten, five", "right", None),
        ("tens-and-ones/other-way:plain/63", "sixty three", "right", None),
        ("tens-and-ones/other-way:explicit/82", "eighty two", "other-form", None),
    ],
    "read-out": [
        ("tens-and-ones/read-out:plain/54", "fifty four", "right", None),
        ("thousands-inner-zeros/read-out:plain/4030", "four thousand and thirty", "right", None),
        ("thousands-inner-zeros/read-out:plain/7040", "seven hundred and forty", "wrong", "lost-zero"),
    ],
    "places": [
        ("hundreds/places/527", "five two seven", "right", None),
        ("hundreds-inner-zero/places/305", "three zero five", "right", None),
        ("hundreds-inner-zero/places/604", "six four", "wrong", "lost-zero"),
    ],
    "claps": [
        # sev-en ten: three claps, counted by hand.
        ("whole-tens/claps:count/70", "three", "right", None),
        ("hundreds/claps:digits/400", "four zero zero", "right", None),
        ("whole-tens/claps:count/30", "three", "wrong", "off-by-one"),
    ],
    "tens-in": [
        ("whole-tens/tens-in:tens/60", "six", "right", None),
        ("tens-and-ones/tens-in:tens/87", "eight", "right", None),
        ("whole-tens/tens-in:tens/40", "five", "wrong", "off-by-one"),
    ],
    "to-ten": [
        ("pairs-to-ten/to-ten/7", "three", "right", None),
        ("pairs-to-ten/to-ten/4", "six", "right", None),
        ("pairs-to-ten/to-ten/2", "nine", "wrong", "off-by-one"),
    ],
    "glimpse": [
        ("five-and-some/glimpse/8", "eight", "right", None),
        ("to-five/glimpse/3", "one, two, three", "right", "counted"),
        ("five-and-some/glimpse/6", "seven", "wrong", "off-by-one"),
    ],
    "grow": [
        ("tens-and-ones/grow:explicit/45", "four ten, five", "right", None),
        ("tens-and-ones/grow:heard/63", "sixty three", "other-form", None),
    ],
    "next-door": [
        ("tens-and-ones/next-door:next/29", "thirty", "right", None),
        ("tens-and-ones/next-door:before/50", "forty nine", "right", None),
        ("tens-and-ones/next-door:ten-more/45", "fifty five", "right", None),
        ("tens-and-ones/next-door:ten-less/63", "forty three", "wrong", "off-by-ten"),
    ],
}
"""What is asked, what is said, and what it must come to."""

TYPED = {
    "build": [
        ("tens-and-ones/build:plain/54", b"54\n", "right", None),
        ("thousands-inner-zeros/build:explicit/4030", b"45\x7f030\n", "right", None),
        ("tens-and-ones/build:plain/45", b"54\n", "wrong", "digits-swapped"),
        ("thousands-inner-zeros/build:plain/4030", b"430\r", "wrong", "lost-zero"),
        ("thousands-inner-zeros/build:plain/4030", b"\n400030\n", "wrong", "glued-parts"),
    ],
    "things": [
        ("tens-and-ones/things:plain/54", b"54\n", "right", None),
        ("tens-and-ones/things:explicit/45", b"54\n", "wrong", "digits-swapped"),
    ],
    "which-more": [
        ("tens-and-ones/which-more/45,54", b"2", "right", None),
        ("tens-and-ones/which-more/45,54", b"1", "wrong", None),
        ("tens-and-ones/which-more/70,17", b"931", "right", None),
    ],
}


def test_every_activity_is_played_here():
    assert {*SPOKEN, *TYPED} == set(ACTIVITIES)
    path = load_path()
    for activity, cases in {**SPOKEN, **TYPED}.items():
        for key, *_ in cases:
            question = question_from_key(path, key)
            assert question.activity == activity
            assert (question.way == "spoken") == (activity in SPOKEN)


@pytest.fixture(scope="module")
def voiced(tmp_path_factory):
    folder = tmp_path_factory.mktemp("voiced")

    def make(text):
        path = folder / f"{text.replace(' ', '_')}.wav"
        if path.exists():
            return path
        if shutil.which("flite"):
            subprocess.run(["flite", "-voice", "slt", "-t", text, "-o", str(path)], check=True, capture_output=True)
        elif shutil.which("espeak-ng"):
            speak("espeak en-us", text, path)
        else:
            pytest.skip("flite and espeak-ng are missing: apt-get install flite espeak-ng")
        return path

    return make


def outcome(answers):
    return [(answer.question, answer.verdict) for answer in answers]


def wanted(cases):
    return [(key, verdict) for key, _, verdict, _ in cases]


def check_reasons(cases, answers):
    for (*_, reason), answer in zip(cases, answers, strict=True):
        assert reason is None or reason in answer.reasons, answer
        assert reason is not None or answer.verdict != "right" or not answer.reasons, answer


@pytest.mark.parametrize("activity", SPOKEN)
def test_what_is_spoken_is_heard_judged_and_kept(activity, prepare, voiced):
    cases = SPOKEN[activity]
    sources = [FileMicrophone(voiced(text)) for _, text, _, _ in cases]
    sitting = prepare((), sources=sources, present=False)
    sitting.table.guide = FreeGuide(iter([question_from_key(load_path(), key) for key, *_ in cases]), returns=False)
    sitting.play(minutes=60)
    assert outcome(sitting.answers) == wanted(cases)
    check_reasons(cases, sitting.answers)
    assert all(answer.way == "spoken" and answer.listener == "numbers-en" for answer in sitting.answers)
    assert all(answer.response_seconds is not None for answer in sitting.answers)
    # The practice can go on from what the record holds.
    assert learner_of(sitting.record, sitting.record.child("Pip")).answers == len(cases)


@pytest.mark.skipif(os.name == "nt", reason="POSIX terminals")
@pytest.mark.parametrize("activity", TYPED)
def test_what_is_typed_is_judged_and_kept(activity, prepare, monkeypatch):
    import pty

    cases = TYPED[activity]
    typing, reading = pty.openpty()
    waiting, stood = [keys for _, keys, _, _ in cases], []

    def press(event):
        if isinstance(event, Listening):
            os.write(typing, waiting.pop(0))

    with open(reading, closefd=False) as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        with open_keys() as keys:
            parent = KeyParent(keys, present=False)
            sitting = prepare((), ears=False, watch=press)
            sitting.table.devices.parent = parent
            sitting.table.devices.hands = KeyHands(parent, stood.append)
            sitting.table.guide = FreeGuide(
                iter([question_from_key(load_path(), key) for key, *_ in cases]), returns=False
            )
            sitting.play()
    os.close(typing)
    os.close(reading)
    assert outcome(sitting.answers) == wanted(cases)
    check_reasons(cases, sitting.answers)
    way = "choice" if activity == "which-more" else "digits"
    assert all(answer.way == way and 0 <= answer.response_seconds < 5 for answer in sitting.answers)
    if activity == "build":
        assert [answer.built for answer in sitting.answers] == ["54", "4030", "54", "430", "400030"]
        assert "45" in stood and stood[stood.index("45") + 1] == "4"
