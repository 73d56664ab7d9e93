"""A wrong answer that lies near the number asked is asked for again; one that is surely another number is judged."""

import pytest

from sayit.hearing.heard import Heard, Hypothesis
from sayit.sitting.ears import TRIES


class Scored:
    """A recogniser with given scores, in nats, in the place of the real one; sound and all else are real."""

    name = "scored"

    def __init__(self, scores, opinion=None):
        self._scores = scores
        self._opinion = opinion or {}

    def hear(self, samples):
        best = max(self._scores, key=self._scores.get)
        seconds = len(samples) / 16_000
        return Heard(best, 0.9, True, (Hypothesis(best, 0.9),), self.name, seconds, 0.0, self._scores)

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
    listener = Scored({"forty six": -20.0}, opinion)
    sitting = prepare([(45, "plain")], ["forty six"] * TRIES, present=False, load=lambda: listener)
    sitting.play(questions=1)
    assert sitting.answers[0].verdict == verdict
