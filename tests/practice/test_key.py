"""The names of things asked: written, and read again as they were."""

from contextlib import suppress
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sayit import SayitError
from sayit.numbers import HIGHEST
from sayit.practice.activities import ACTIVITIES, asks
from sayit.practice.key import Key, ask_name, label, labelled, shape, skill_name, split_ask, split_item, split_skill
from sayit.practice.path import load_path

PATH = load_path(HIGHEST)
KINDS = [(step.slug, ask) for step in PATH for ask in asks(step)]
numbers = st.lists(st.integers(0, HIGHEST), min_size=1, max_size=2).map(tuple)


@given(st.sampled_from(KINDS), numbers)
def test_a_key_is_read_as_it_was_written(kind, about):
    step, ask = kind
    key = Key(step, *split_ask(ask), about)
    assert Key.parse(str(key)) == key and str(Key.parse(str(key))) == str(key)
    assert (key.ask, key.skill) == (ask, f"{step}/{ask}")
    assert split_skill(key.skill) == (step, ask) and split_item(str(key))[0] == key.skill


def test_the_text_of_a_key_is_the_one_that_records_hold():
    assert str(Key("teens", "other-way", "explicit", (13,))) == "teens/other-way:explicit/13"
    assert str(Key("teens", "which-more", "", (13, 30))) == "teens/which-more/13,30"
    assert Key.parse("hundreds/places/305") == Key("hundreds", "places", "", (305,))


@pytest.mark.parametrize(
    "text",
    [
        "", "/", "//", "teens", "teens/build:plain", "teens/build:plain/", "teens/build:plain/x", "teens/build:plain/1.5",
        "teens/build:plain/-1", "teens/build:plain/+1", "teens/build:plain/013", "teens/build:plain/1_3",
        "teens/build:plain/13,", "teens/build:plain/ 13", "teens/build:/13", "/build:plain/13", "teens//13",
        "teens/:plain/13", "teens/build:plain/13/14", "teens/build:plain/١٣", "teens/build:plain/" + "9" * 5_000,
    ],
)  # fmt: skip
def test_nonsense_is_refused_in_one_line(text):
    with pytest.raises(SayitError, match="is no question") as error:
        Key.parse(text)
    assert "\n" not in str(error.value)


@given(st.text(max_size=30))
def test_no_text_breaks_the_reading(text):
    with suppress(SayitError):
        assert str(Key.parse(text)) == text
    assert "/".join(filter(None, split_item(text))).strip("/") == text.strip("/")


def test_an_item_is_a_number_up_to_twenty_a_ten_up_to_a_hundred_and_a_shape_above():
    for about, item in (
        ((7,), "7"), ((19,), "19"), ((20,), "20"), ((90,), "90"), ((99,), "9d"), ((100,), "d00"), ((345,), "ddd"), ((4_030,), "d0d0"), ((8_006,), "d00d"), ((13, 30), "pair"),
    ):  # fmt: skip
        assert Key("step", "build", "plain", about).item == f"step/build:plain/{item}"
    assert shape(40_300) == "d0d00"


def test_names_come_apart_as_they_were_put_together():
    for slug, activity in ACTIVITIES.items():
        for variant in ("", "plain"):
            assert activity.called(variant) == ask_name(slug, variant)
            assert split_ask(activity.called(variant)) == (slug, variant)
            assert split_skill(skill_name("teens", activity.called(variant))) == ("teens", activity.called(variant))


@given(st.integers(0, 10**6 - 1), st.integers(0, 10**6))
def test_a_number_made_for_a_label_has_it(number, seed):
    assert label(labelled(label(number), Random(seed))) == label(number)
