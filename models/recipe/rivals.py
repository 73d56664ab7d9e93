"""Phrases that a number phrase may be taken for: what the network learns to tell apart, besides the phones.

A softmax over the phrase said and a few such rivals is maximum mutual information training (Bahl et al. 1986) with a
sampled denominator.
"""

from __future__ import annotations

import random

from language import DIGITS, TEENS, TENS, WORDS

SPOKEN = WORDS[:-2]
LIKE = (
    dict(zip(TEENS[3:], TENS[1:], strict=False))
    | dict(zip(TENS[1:], TEENS[3:], strict=False))
    | {"twelve": "twenty", "twenty": "twelve"}
)
STEM = dict(zip(TEENS[3:], DIGITS[3:], strict=False)) | dict(zip(TENS, DIGITS[2:], strict=False))
CLASSES = {word: words for words in (DIGITS, TEENS, TENS, ["hundred", "thousand"]) for word in words}


def changed(words: list[str], rng: random.Random) -> list[str]:
    """``words`` with one change of a kind that children or listeners make."""
    i = rng.choice([i for i, word in enumerate(words) if word in SPOKEN] or range(len(words)))
    word = words[i]
    before, after = words[:i], words[i + 1 :]
    ways = ["other", "drop", "add", "double"]
    if word in LIKE:
        ways += ["like"] * 6
    if word in STEM:
        ways += ["tens"] * 2
    if word == "ten" and before and before[-1] in DIGITS:
        ways += ["joined"] * 4
    if after:
        ways.append("swap")
    way = rng.choice(ways)
    if way == "like":
        return [*before, LIKE[word], *after]
    if way == "tens":
        return [*before, STEM[word], "ten", *after]
    if way == "joined":
        stem = before[-1]
        return [*before[:-1], rng.choice([w for w, s in STEM.items() if s == stem] or [stem]), *after]
    if way == "swap":
        return [*before, after[0], word, *after[1:]]
    if way == "drop" and len(words) > 1:
        return [*before, *after]
    if way == "add":
        return [*before, rng.choice(SPOKEN), word, *after]
    if way == "double":
        return [*before, word, word, *after]
    return [*before, rng.choice(CLASSES.get(word, SPOKEN)), *after]


def rivals(words: list[str], count: int, rng: random.Random) -> list[list[str]]:
    """``count`` different phrases near ``words``, none of them the same."""
    found = {tuple(words)}
    while len(found) <= count:
        other = changed(words, rng)
        if rng.random() < 0.25:
            other = changed(other, rng)
        found.add(tuple(other))
    return [list(w) for w in found if list(w) != words]
