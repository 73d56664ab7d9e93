"""Names against num2words, and explicit names against the rule that they follow."""

import random

import pytest
from num2words import num2words
from num2words.lang_EN import Num2Word_EN

from sayit import SayitError
from sayit.numbers import FORMS, HIGHEST, VOCABULARY, name, variants

ONES = "zero one two three four five six seven eight nine".split()


@pytest.fixture(scope="module")
def british():
    """num2words' own converter, without its words above a million.

    It walks over all of them for every number, and none is ever used in range;
    that the names stay the same is tested below.
    """
    converter = Num2Word_EN()
    for card in [card for card in converter.cards if card > 1_000_000]:
        del converter.cards[card]
    return converter.to_cardinal


def test_plain_names_are_those_of_num2words(british, values):
    """Source: num2words 0.5.14, language "en"."""
    for value in values:
        theirs = british(value)
        assert name(value, use_and=True) == theirs
        assert name(value) == theirs.replace(",", "").replace(" and ", " ")


def test_the_shortened_converter_still_is_num2words(british):
    sample = [*range(1_200), *random.Random(7).sample(range(HIGHEST + 1), 3_000), HIGHEST]
    assert [british(value) for value in sample] == [num2words(value) for value in sample]


def explicit(value):
    """The rule, written once more and differently: each digit with its place word."""
    if value >= 1000:
        return f"{explicit(value // 1000)} thousand" + (f" {explicit(value % 1000)}" if value % 1000 else "")
    digits = f"{value:03}"
    said = [
        ONES[int(digit)] + place for digit, place in zip(digits, (" hundred", "-ten", ""), strict=True) if digit != "0"
    ]
    return " ".join(said) or "zero"


def test_explicit_names_follow_the_rule(values):
    for value in values:
        assert name(value, "explicit") == explicit(value)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0, "zero"),
        (10, "one-ten"),
        (15, "one-ten five"),
        (30, "three-ten"),
        (45, "four-ten five"),
        (100, "one hundred"),
        (110, "one hundred one-ten"),
        (4_030, "four thousand three-ten"),
        (45_000, "four-ten five thousand"),
    ],
)
def test_explicit_names(value, said):
    assert name(value, "explicit") == said


def test_explicit_names_are_joined_as_plain_ones_are():
    assert name(4_030, "explicit", use_and=True) == "four thousand and three-ten"
    assert name(2_115, "explicit", use_and=True) == "two thousand, one hundred and one-ten five"


@pytest.mark.parametrize("value", [-1, 1_000_000, 10**400, 4.5, 45.0, "45", None, True, float("nan")])
@pytest.mark.parametrize("use", [name, variants])
def test_what_has_no_name_is_refused_with_one_line(use, value):
    with pytest.raises(SayitError, match="whole number from 0 to 999,999") as error:
        use(value)
    assert "\n" not in str(error.value) and len(str(error.value)) < 120


@pytest.mark.parametrize("form", ["", "Plain", "both", None])
def test_an_unknown_form_is_refused(form):
    with pytest.raises(SayitError, match="plain or explicit"):
        name(45, form)


def test_variants_are_the_accepted_wordings():
    assert variants(0) == variants(0, "explicit") == ("zero", "oh", "nought")
    assert variants(45) == ("forty five",)
    assert variants(10, "explicit") == ("one ten", "ten")
    assert variants(15, "explicit") == ("one ten five", "ten five")
    assert variants(100) == ("one hundred", "a hundred")
    assert variants(100, "explicit") == ("one hundred", "a hundred", "ten ten")
    assert set(variants(1_015, "explicit")) == {
        f"{head} thousand{joint}{tail}"
        for head in ("one", "a")
        for joint in (" ", " and ")
        for tail in ("one ten five", "ten five")
    }


@pytest.mark.parametrize("form", FORMS)
def test_variants_start_with_the_name_and_use_the_vocabulary_only(form):
    known = set(VOCABULARY)
    for value in [*range(2_200), *range(9_999, HIGHEST, 977)]:
        found = variants(value, form)
        assert found[0] == name(value, form).replace("-", " ")
        assert len(set(found)) == len(found)
        assert {word for words in found for word in words.split(" ")} <= known
        spoken = name(value, form, use_and=True).replace("-", " ").replace(",", "")
        assert spoken in found


def test_every_word_of_the_vocabulary_occurs():
    used = {
        word for value in range(1_200) for form in FORMS for words in variants(value, form) for word in words.split()
    }
    assert used == set(VOCABULARY)
