"""What the network learns to tell apart."""

import random

import pytest


@pytest.fixture(scope="module")
def rivals(recipe):
    return recipe("models", "rivals").rivals


@pytest.mark.parametrize("text", ["thirty", "four ten five", "four thousand thirty", "three two two seven", "ten"])
def test_rivals_are_other_phrases(rivals, text):
    words = text.split()
    found = rivals(words, 8, random.Random(1))
    assert len({tuple(w) for w in found}) == 8 and words not in found
    assert all(found)


def test_the_usual_confusions_are_among_them(rivals):
    """thirteen for thirty; a glued joint (common practice, no source)."""
    assert ["thirteen"] in rivals(["thirty"], 6, random.Random(2))
    joined = rivals(["four", "ten", "five"], 20, random.Random(3))
    assert ["forty", "five"] in joined or ["fourteen", "five"] in joined
