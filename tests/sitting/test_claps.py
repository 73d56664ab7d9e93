"""Claps go the way of every answer: judged, kept, replied to; and a doubtful count is asked for again."""

import os
import sys

import numpy as np

from sayit.hearing.capture import FileMicrophone
from sayit.hearing.endpoint import EndRule
from sayit.practice.activities import question_from_key
from sayit.practice.free import FreeGuide
from sayit.practice.path import load_path
from sayit.sitting.ears import TRIES, catch
from sayit.sitting.events import Listening
from sayit.sitting.hands import TouchHands
from sayit.sound.audio import RATE, load, save
from sayit.terminal.keys import open_keys
from sayit.terminal.typed import KeyHands, KeyParent
from tests.benchmarks.claps import take


def test_a_name_is_clapped(prepare, spoken, tmp_path):
    sources = []
    for count in (2, 3):
        save(take(count, 7, hum=-65), tmp_path / f"{count}.wav")
        sources.append(FileMicrophone(tmp_path / f"{count}.wav"))
    # The name said along with the claps says neither how many there were, nor anything wrong.
    sources += [FileMicrophone(spoken("three ten")), FileMicrophone(spoken("two"))]
    sitting = prepare(sources=sources, questions=())
    # three-ten: two claps, counted by hand.
    question = question_from_key(load_path(), "whole-tens/claps:count/30")
    sitting.table.guide = FreeGuide(iter([question] * 3), tries=lambda _question: TRIES, returns=False)
    sitting.play()
    answers = sitting.answers
    assert [(one.heard, one.value, one.verdict) for one in answers[:2]] == [
        ("2 claps", 2, "right"),
        ("3 claps", 3, "wrong"),
    ]
    assert answers[1].reasons == ("off-by-one",) and answers[0].listener == "claps"
    assert [one.verdict for one in answers[2:]] == ["unclear", "right"]
    assert np.isfinite(answers[0].response_seconds)


def test_claps_end_an_answer_and_words_win(tmp_path, spoken, listener):
    def caught(samples, interrupted=lambda: False):
        path = tmp_path / "sound.wav"
        save(samples, path)
        return catch(FileMicrophone(path), EndRule(), interrupted, listener.hear, lambda heard: heard.clear, claps=True)

    three = take(3, 7, hum=-65)
    room = np.random.default_rng(1).normal(0, 3e-4, 4 * RATE).astype(np.float32)
    # What comes long after the last clap is not listened to any more.
    sound = caught(np.concatenate([three, room, three]))
    assert (sound.claps, sound.sure) == (3, True) and 0 < sound.response_seconds < 1
    said = caught(np.concatenate([three[: -int(1.8 * RATE)], load(spoken("three")), room]))
    assert said.claps is None and len(said.samples)
    assert caught(three, interrupted=lambda: True) is None


def test_touches_count_claps_with_a_microphone_and_without(prepare, spoken):
    """As a page does it: touched, then after a while how many."""
    question = question_from_key(load_path(), "whole-tens/claps:count/30")
    for ears in (True, False):
        hands = TouchHands()

        def touch(event, hands=hands):
            if isinstance(event, Listening):
                hands.touched()
                hands.give("2")

        sitting = prepare(sources=[FileMicrophone(spoken(""))], questions=(), ears=ears, watch=touch)
        sitting.table.devices.hands = hands
        sitting.table.guide = FreeGuide(iter([question]), tries=lambda _question: TRIES, returns=False)
        sitting.play()
        ((heard, verdict, judged_by),) = [(one.heard, one.verdict, one.judged_by) for one in sitting.answers]
        assert (heard, verdict, judged_by) == ("2 claps", "right", "listener"), ears


def test_the_space_bar_counts_claps(prepare, monkeypatch):
    question = question_from_key(load_path(), "whole-tens/claps:count/30")
    reading, typing = os.openpty()

    def clap(event):
        if isinstance(event, Listening):
            os.write(typing, b"  ")

    with open(reading, closefd=False) as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        with open_keys() as keys:
            parent = KeyParent(keys, present=False)
            sitting = prepare((), ears=False, watch=clap)
            sitting.table.devices.parent = parent
            sitting.table.devices.hands = KeyHands(parent, lambda _digits: None)
            sitting.table.guide = FreeGuide(iter([question]), returns=False)
            sitting.play()
    os.close(reading)
    os.close(typing)
    assert [(one.heard, one.verdict) for one in sitting.answers] == [("2 claps", "right")]
