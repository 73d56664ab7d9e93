"""What our own listener hears of a human voice's number words, put together (see :mod:`tests.recorded_words` for the source)."""

from pathlib import Path

import pytest

from sayit.hearing.number_listener import NumberListener
from sayit.numbers import read
from tests import recorded_words

pytestmark = pytest.mark.skipif(not recorded_words.present(), reason=recorded_words.MISSING)

PAIRS = [*range(13, 20), *range(30, 100, 10), 430, 4030, 806, 8006, 414, 440]


@pytest.fixture(scope="module")
def listener():
    return NumberListener(Path(__file__).parents[2] / "models" / "numbers-en")


@pytest.mark.parametrize("form", ["plain", "explicit"])
@pytest.mark.parametrize("number", PAIRS)
def test_a_name_is_heard_in_value_and_form(listener, number, form):
    heard = read(listener.hear(recorded_words.said(number, form)).words)
    assert heard.value == number and heard.form in (form, "both")


@pytest.mark.parametrize("number", PAIRS)
def test_through_a_telephone_it_is_heard_or_asked_again(listener, number):
    samples = recorded_words.through_a_telephone(recorded_words.said(number, "plain"))
    heard = listener.hear(samples)
    assert not heard.clear or read(heard.words).value == number
