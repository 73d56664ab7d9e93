"""A wrong answer that lies near the number asked is asked for again; one that is surely another number is judged."""

import numpy as np
import pytest

from sayit.hearing.capture import FileMicrophone
from sayit.hearing.heard import Heard, Hypothesis
from sayit.sitting.ears import TRIES
from sayit.sound.audio import load, save
from tests.benchmarks import noises
from tests.sitting.conftest import A, Q, R


class Scored:
    """A recogniser with given scores, in nats, in the place of the real one; sound and all else are real.

    ``scores`` are those of each answer in turn, the last of them from then on.
    """

    name = "scored"

    def __init__(self, *scores, opinion=None):
        self._scores = list(scores)
        self._opinion = opinion or {}

    def hear(self, samples):
        scores = self._scores.pop(0) if len(self._scores) > 1 else self._scores[0]
        best = max(scores, key=scores.get)
        seconds = len(samples) / 16_000
        return Heard(best, 0.9, True, (Hypothesis(best, 0.9),), self.name, seconds, 0.0, scores)

    def weigh(self, samples, phrases):
        return {phrase: self._opinion[phrase] for phrase in phrases if phrase in self._opinion}


@pytest.mark.parametrize(
    ("scores", "verdict"),
    [
        ({"forty six": -20.0, "forty five": -27.0}, "unclear"),
        ({"forty six": -20.0, "forty five": -34.0}, "wrong"),
        ({"forty six": -20.0}, "wrong"),
        ({"forty five": -20.0, "forty six": -21.0}, "right"),
    ],
)
def test_what_may_have_been_the_number_asked_is_not_judged_wrong(prepare, scores, verdict):
    listener = Scored(scores)
    sitting = prepare([(45, "plain")], ["forty six"] * TRIES, present=False, load=lambda: listener)
    sitting.play(questions=1)
    assert sitting.answers[0].verdict == verdict


@pytest.mark.parametrize(
    ("opinion", "verdict"),
    [
        ({"forty five": -1.0, "forty six": -1.5}, "unclear"),
        ({"forty five": -1.5, "forty six": -1.0}, "wrong"),
        ({"four ten five": -1.0, "forty six": -1.5}, "wrong"),
        ({"forty five": -1.0}, "wrong"),
    ],
)
def test_what_a_second_opinion_holds_for_the_number_asked_is_not_judged_wrong(prepare, opinion, verdict):
    listener = Scored({"forty six": -20.0}, opinion=opinion)
    sitting = prepare([(45, "plain")], ["forty six"] * TRIES, present=False, load=lambda: listener)
    sitting.play(questions=1)
    assert sitting.answers[0].verdict == verdict


THIRTEEN = {"thirteen": -20.0, "thirty": -23.0}
NOTE = "{} or {}? Its tens name was asked."


def asked_thirty(prepare, *scores, **more):
    listener = Scored(*scores)
    # Each answer is listened to once, whatever its sound.
    return prepare([(30, "plain")], ["thirty"] * len(scores), load=lambda: listener, **more)


@pytest.mark.parametrize(
    ("scores", "verdict", "form"),
    [
        ({"three ten": -20.0}, "right", "explicit"),
        ({"thirty": -20.0, "thirteen": -27.0}, "right", "plain"),
        ({"one ten three": -20.0}, "wrong", "explicit"),
    ],
)
def test_a_teen_or_its_ten_is_told_by_its_tens_name(prepare, scores, verdict, form):
    sitting = asked_thirty(prepare, THIRTEEN, scores, present=False)
    sitting.play()
    first, second = sitting.answers
    assert (first.verdict, first.heard, first.form) == ("unclear", "thirteen", "plain")
    assert (second.verdict, second.attempt, second.form, second.heard_form) == (verdict, 2, "any", form)
    assert second.reasons == (("teen-ty-swap",) if verdict == "wrong" else ())
    _hello, own_words, tens_name, *_ = sitting.words()
    assert (first.prompt, second.prompt) == (own_words, tens_name)
    assert "thirty" in own_words and "tens name" in tens_name and "thir" not in tens_name
    assert NOTE.format("Thirteen", "thirty") in [note.text for note in sitting.named("Note")]


def test_a_parent_may_still_judge_the_doubtful_answer(prepare):
    sitting = asked_thirty(prepare, THIRTEEN, THIRTEEN, press={"Speaking": [None, None, R]})
    sitting.play()
    (answer,) = sitting.answers
    assert (answer.verdict, answer.final, answer.form) == ("unclear", "right", "plain")


@pytest.mark.parametrize(
    ("answers", "verdicts"),
    [
        ([THIRTEEN, THIRTEEN], ["unclear", "wrong"]),
        ([THIRTEEN, {"sixteen": -20.0, "thirty": -32.0}, THIRTEEN], ["unclear", "unclear", "unclear"]),
    ],
)
def test_who_says_the_same_other_number_again_is_told(prepare, answers, verdicts):
    sitting = asked_thirty(prepare, *answers, present=False)
    sitting.play()
    assert [answer.verdict for answer in sitting.answers] == verdicts


def test_an_answer_that_the_parent_set_aside_does_not_count(prepare):
    press = {"Speaking": [None, None, A], "Judged": [None, Q]}
    sitting = asked_thirty(prepare, THIRTEEN, THIRTEEN, press=press)
    sitting.play()
    assert [(answer.verdict, answer.attempt) for answer in sitting.answers] == [("unclear", 1), ("unclear", 3)]


def test_what_was_doubtful_of_one_question_tells_nothing_of_the_next(prepare):
    listener = Scored(THIRTEEN)
    press = {"Speaking": [None, None, R], "Judged": [None, Q]}
    sitting = prepare([(30, "plain")] * 2, ["thirty"] * 2, press, load=lambda: listener)
    sitting.play()
    assert [(answer.verdict, answer.final) for answer in sitting.answers] == [
        ("unclear", "right"),
        ("unclear", "unclear"),
    ]


def test_a_real_voice_in_noise_is_told_by_the_tens_name(prepare, spoken, tmp_path):
    """In so much white noise that "forty" may be "fourteen", where that was asked; then both tens names."""
    sound, path = load(spoken("forty")), tmp_path / "forty.wav"

    def play(decibels, tens_name):
        save(noises.mixed(sound, noises.white, decibels, np.random.default_rng(3)), path)
        sources = [FileMicrophone(path), FileMicrophone(spoken(tens_name))]
        sitting = prepare([(14, "plain")], sources=sources, present=False)
        sitting.play()
        return sitting

    def doubted(decibels):
        return NOTE.format("Forty", "fourteen") in [note.text for note in play(decibels, "four ten").named("Note")]

    decibels = next(filter(doubted, range(20, 4, -1)))
    for tens_name, verdict in (("one ten four", "right"), ("four ten", "wrong")):
        answers = play(decibels, tens_name).answers
        assert [(answer.verdict, answer.heard_form) for answer in answers] == [
            ("unclear", "plain"), (verdict, "explicit")
        ]  # fmt: skip
