"""A second opinion on which of a few phrases was said: Whisper tiny.en (Radford et al. 2022, arXiv 2212.04356).

Its decoder attends to all of the sound at once and hears order and repetition where the listener's network, frame by
frame, is sure of the wrong thing.  Decoding freely it is much worse than the listener; so it never says what was heard,
only which of given phrases it holds for likelier.  ``models/recipe`` writes its weights, ``models/numbers-en`` says
what it does.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np

from sayit.hearing.layers import affine, attended, depth, encode, fed, heads, normed, weights
from sayit.hearing.mel import log_mel

__all__ = ["SecondOpinion"]

_END = "."
_AFTER = 60
"""Frames of silence after the sound (0.6 s); Whisper learnt from windows that end in silence."""


class SecondOpinion:
    """Whisper's own encoder and decoder, of whose vocabulary the number words are left."""

    def __init__(self, path: Path) -> None:
        """Load the weights (about 0.2 s); OSError, ValueError or KeyError where the file is damaged."""
        loaded = weights(path)
        self._encoder = {name[8:]: value for name, value in loaded.items() if name.startswith("encoder.")}
        self._decoder = {name[8:]: value for name, value in loaded.items() if name.startswith("decoder.")}
        self._tokens = {word: i for i, word in enumerate(path.with_suffix(".txt").read_text().split())}
        if len(self._decoder["words"]) != len(self._tokens):
            raise ValueError(f"{len(self._tokens)} words")

    def weigh(self, samples: np.ndarray, phrases: Iterable[str]) -> dict[str, float]:
        """Log-probabilities (nats) of phrases of number words; one with another word in it is left out.

        ``samples`` are float32 of shape ``(n,)`` at 16 kHz, at most 28 s.
        """
        known = {phrase: phrase.split() for phrase in phrases}
        known = {phrase: words for phrase, words in known.items() if words and self._tokens.keys() >= set(words)}
        if not known:
            return {}
        features = log_mel(samples)
        features = np.pad(features, ((0, _AFTER), (0, 0)), constant_values=features.min())
        encoded = encode(features, self._encoder)
        rows = [[self._tokens[word] for word in (*words, _END)] for words in known.values()]
        longest = max(map(len, rows))
        wanted = np.array([row + [self._tokens[_END]] * (longest - len(row)) for row in rows])
        each = np.take_along_axis(self._following(wanted[:, :-1], encoded), wanted[:, :, None], axis=2)[:, :, 0]
        return {phrase: float(each[i, : len(rows[i])].sum()) for i, phrase in enumerate(known)}

    def _following(self, said: np.ndarray, encoded: np.ndarray) -> np.ndarray:
        """Log-probabilities (phrases, words + 1, vocabulary) of what follows the beginning and each word."""
        w = self._decoder
        begin = np.broadcast_to(w["begin"], (len(said), *w["begin"].shape))
        x = np.concatenate([begin, w["words"][said]], axis=1)
        x += w["positions"][: x.shape[1]]
        later = np.triu(np.full((x.shape[1],) * 2, -1e9, np.float32), 1)
        for layer in range(depth(w)):
            name = f"layers.{layer}."
            q, k, v = np.split(affine(normed(x, w, name + "attention_norm"), w, name + "qkv"), 3, axis=-1)
            x += affine(attended(heads(q), heads(k), heads(v), later), w, name + "attended")
            q = affine(normed(x, w, name + "sound_norm"), w, name + "sound_q")
            k, v = np.split(affine(encoded, w, name + "sound_kv"), 2, axis=-1)
            x += affine(attended(heads(q), heads(k), heads(v)), w, name + "sound")
            x += fed(x, w, name)
        logits = normed(x[:, len(w["begin"]) - 1 :], w, "norm") @ w["words"].T
        logits -= logits.max(axis=-1, keepdims=True)
        scaled: np.ndarray = logits - np.log(np.exp(logits).sum(axis=-1, keepdims=True))
        return scaled
