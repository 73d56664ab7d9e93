"""Digit strings are cut where it is quiet between two words, and put together from one child's words alone."""

import random

import numpy as np
import pytest


@pytest.fixture(scope="module")
def splice(recipe):
    return recipe("models", "splice")


def scores_of(path, count=4):
    """Log-probabilities that are nearly sure of each frame's label."""
    scores = np.full((len(path), count), -10.0)
    scores[np.arange(len(path)), path] = -0.01
    return scores


def test_labels_are_found_where_they_are_heard(splice):
    assert splice.spikes(scores_of([0, 1, 1, 0, 2, 0, 2, 0]), [1, 2, 2]) == [(1, 2), (4, 4), (6, 6)]


def test_words_are_cut_in_the_quiet_between_them(splice):
    path = [0] * 20 + [1] + [0] * 3 + [2] + [0] * 12 + [3] + [0] * 20
    sound = np.random.default_rng(1).normal(size=len(path) * splice.FRAME)
    quiet = slice(30 * splice.FRAME, 32 * splice.FRAME)
    sound[quiet] *= 0.001
    (first, cut), (same, _) = splice.pieces(sound, scores_of(path), [[1, 2], [3]])
    assert cut == same and quiet.start <= cut <= quiet.stop
    assert 0 < first < 20 * splice.FRAME


def test_a_new_string_is_one_childs_and_of_a_length_that_is_practised(splice):
    own = {name: [{"speaker": name, "words": [word]} for word in ("one", "two")] for name in ("Pip", "Wren")}
    lengths = set()
    for seed in range(200):
        rows, gaps = splice.spliced(own, random.Random(seed))
        assert len({row["speaker"] for row in rows}) == 1 and len(gaps) == len(rows) + 1 and min(gaps) >= 0
        lengths.add(len(rows))
    assert lengths == set(splice.LENGTHS)
