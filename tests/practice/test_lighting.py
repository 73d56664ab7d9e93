"""Which part of the picture lights up with which word."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sayit.numbers import FORMS, name
from sayit.practice.layout import PLACES
from sayit.practice.lighting import Light, lights
from sayit.speaking.utterance import groups


def spread(words: str, second: float = 1.0):
    """Every group of a name one second after the other, each half a second long."""
    return [(group.words, at * second, at * second + second / 2) for at, group in enumerate(groups(words))]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("four-ten five", [("tens", 0, 0.5), ("ones", 1, 1.5)]),
        # Three syllables in half a second, two of them "forty".
        ("forty-five", [("tens", 0, 0.333), ("ones", 0.333, 0.5)]),
        ("thirteen", [("tens", 0, 0.5), ("ones", 0, 0.5)]),
        ("three-ten", [("tens", 0, 0.5), ("ones", 0.5, 0.5)]),
        ("zero", [("ones", 0, 0.5)]),
        (
            "four thousand three-ten",
            [("thousands", 0, 0.5), ("hundreds", 0.5, 0.5), ("tens", 1, 1.5), ("ones", 1.5, 1.5)],
        ),
        (
            "eight thousand six",
            [("thousands", 0, 0.5), ("hundreds", 0.5, 0.5), ("tens", 0.5, 0.5), ("ones", 1, 1.5)],
        ),
        (
            "four zero three zero",
            [("thousands", 0, 0.083), ("hundreds", 0.083, 0.25), ("tens", 0.25, 0.333), ("ones", 0.333, 0.5)],
        ),
    ],
)
def test_each_part_lights_with_its_own_words(words, wanted):
    found = lights(spread(words))
    assert [(light.place, light.start, light.end) for light in found] == wanted


@given(st.integers(0, 9_999), st.sampled_from(FORMS), st.booleans())
def test_every_place_lights_once_from_the_highest_down_within_the_name(number, form, use_and):
    timed = spread(name(number, form, use_and=use_and).replace(",", ""))
    found = lights(timed)
    assert [light.place for light in found] == list(PLACES[: len(str(number))])[::-1]
    assert {light.number for light in found} == {number}
    starts = [light.start for light in found]
    assert starts == sorted(starts) and found[-1].end <= timed[-1][2] + 0.001
    assert all(isinstance(light, Light) and light.start <= light.end for light in found)


@pytest.mark.parametrize("words", ["", "hello", "ten thousand"])
def test_nothing_lights_for_what_is_no_number_that_is_shown(words):
    assert lights([(words, 0, 1)]) == ()
