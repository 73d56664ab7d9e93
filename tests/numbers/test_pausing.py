"""When an answer can be over: names of num2words cut at every word."""

import pytest
from num2words import num2words

from sayit.numbers import may_go_on, name


@pytest.mark.parametrize(
    "words", ["four-ten five", "forty-five", "fourteen", "four hundred and twelve", "four thousand thirty one"]
)
def test_a_complete_name_ends(words):
    assert not may_go_on(words)


@pytest.mark.parametrize(
    "words", ["", "four", "ten", "four-ten", "forty", "four hundred", "four hundred five", "four five", "um"]
)
def test_what_may_go_on_is_waited_for(words):
    assert may_go_on(words)


def test_no_name_ends_inside_a_longer_one():
    """Everyday names by num2words and tens names by ours, each cut after every word."""
    for value in [*range(1, 1000), *range(1000, 10_000, 7)]:
        for text in (num2words(value).replace(",", ""), name(value, "explicit")):
            words = text.replace("-", " ").split()
            for count in range(1, len(words)):
                assert may_go_on(" ".join(words[:count])), (text, count)
