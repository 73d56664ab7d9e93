"""Every name reads back to its number and form."""

import random

import pytest
from text_to_num import text2num

from sayit.numbers import FORMS, HIGHEST, name, read, variants
from sayit.numbers.reading import _read_freely


@pytest.mark.parametrize("use_and", [False, True])
@pytest.mark.parametrize("form", FORMS)
def test_all_names_read_back(form, use_and, values):
    other = FORMS[1 - FORMS.index(form)]
    for value in values:
        words = name(value, form, use_and=use_and)
        reading = read(words)
        assert reading.value == value and not reading.reasons, words
        if reading.form != form:
            # "ten" for "one-ten" is the only name that an accepted variant of the other form shares.
            same = words == name(value, other, use_and=use_and) or (form == "plain" and "ten" in words.split())
            assert reading.form == "both" and same, words


@pytest.mark.parametrize("form", FORMS)
def test_accepted_variants_read_back(form):
    for value in [*range(1_200), *range(1_200, HIGHEST, 499)]:
        for words in variants(value, form):
            reading = read(words)
            assert reading.value == value and reading.form in (form, "both"), words


@pytest.mark.parametrize("form", FORMS)
def test_the_short_way_for_well_formed_names_gives_what_the_long_one_gives(form, long):
    for value in [*range(2_000), *random.Random(3).sample(range(HIGHEST + 1), 20_000 if long else 2_000)]:
        for words in {name(value, form), name(value, form, use_and=True), *variants(value, form)}:
            assert read(words) == _read_freely(words)


def test_plain_names_read_as_text2num_reads_them(long):
    """Source: text2num 3.1, which reads names without commas."""
    for value in random.Random(5).sample(range(HIGHEST + 1), 30_000 if long else 6_000):
        words = name(value, use_and=value % 2 == 0).replace(",", "")
        assert read(words).value == text2num(words, "en")
