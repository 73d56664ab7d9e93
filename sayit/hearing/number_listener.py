"""Our own listener: a small network and a graph of number phrases, run by NumPy alone.

The network (an encoder of Whisper's shape, Radford et al. 2022, with a layer of
phones trained by connectionist temporal classification, Graves et al. 2006)
gives phone probabilities every 20 ms; a beam search through the graph of all
that may be said, children's pronunciations among it, turns them into number
phrases.  ``models/recipe`` trains it, ``models/numbers-en`` says what it can do.
"""

from __future__ import annotations

import functools
import math
import re
import time
import zipfile
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from sayit.errors import SayitError
from sayit.hearing.heard import Heard, Hypothesis
from sayit.hearing.hypotheses import choose
from sayit.hearing.layers import affine, encode, weights
from sayit.hearing.mel import log_mel
from sayit.hearing.phrase_graph import PhraseGraph
from sayit.hearing.second_opinion import SecondOpinion

__all__ = ["NumberListener", "is_number_model"]

_RATE = 16_000
_SHORTEST, _LONGEST = _RATE // 10, 28 * _RATE
_DAMAGED = (OSError, ValueError, KeyError, IndexError, EOFError, zipfile.BadZipFile)


def is_number_model(folder: Path) -> bool:
    """Whether ``folder`` holds a model of this kind."""
    return (folder / "network.npz").is_file() and (folder / "graph.npz").is_file()


class NumberListener:
    """Hear one number said by a child; see the module for how."""

    def __init__(
        self,
        folder: Path,
        *,
        beam: float = 16.0,
        sharpness: float = 0.46,
        sure: float = 0.65,
        number: float = 0.5,
        swap: float = 0.15,
        sizes: tuple[float, ...] = (1.0,),
    ) -> None:
        """Load the model (about 0.1 s).

        ``beam`` is in nats, wide enough for :mod:`sayit.hearing.doubt`; ``sharpness`` scales log scores before they become
        probabilities; ``sure`` is the probability under which an answer is asked for
        again, ``number`` the one under which it is no number at all; ``swap`` is the
        probability that the same phrase with "-teen" for "-ty" (or the reverse) may have
        before the answer is in doubt; ``sizes`` are the speeds at which the sound is played: a
        network that learnt from few children hears a small child's voice better when it is slower.
        """
        self.name = folder.name
        self._folder = folder
        self._beam, self._sharpness = beam, sharpness
        self._sure, self._number, self._swap, self._sizes = sure, number, swap, sizes
        try:
            self._weights = weights(folder / "network.npz")
            self._graph = PhraseGraph(folder)
        except _DAMAGED as error:
            raise _damaged(folder, error) from None

    def hear(self, samples: np.ndarray) -> Heard:
        """Hear one answer: float32 samples of shape ``(n,)`` at 16 kHz in [-1, 1]."""
        began = time.perf_counter()
        seconds = len(samples) / _RATE

        def heard(
            words: str, confidence: float, clear: bool, best: tuple[Hypothesis, ...] = (), **more: dict[str, float]
        ) -> Heard:
            return Heard(words, confidence, clear, best, self.name, seconds, time.perf_counter() - began, **more)

        if len(samples) < _SHORTEST or not np.any(samples):
            return heard("", 1.0, True)
        if len(samples) > _LONGEST:
            return heard("", 0.0, False)
        found = self.scores(samples)
        return heard(*self.decide(found), scores=found)

    def weigh(self, samples: np.ndarray, phrases: Sequence[str]) -> dict[str, float]:
        """What Whisper itself holds of ``phrases``, log-probabilities in nats; empty where the model came without it."""
        opinion = self._opinion
        return opinion.weigh(samples, phrases) if opinion and _SHORTEST <= len(samples) <= _LONGEST else {}

    @functools.cached_property
    def _opinion(self) -> SecondOpinion | None:
        # Loaded when somebody asks, which most answers do not need.
        path = self._folder / "opinion.npz"
        try:
            return SecondOpinion(path) if path.is_file() else None
        except _DAMAGED as error:
            raise _damaged(self._folder, error) from None

    def scores(self, samples: np.ndarray) -> dict[str, float]:
        """Phrases with log scores; what the speeds find is added, so that they doubt where they differ."""
        found: dict[str, float] = {}
        for size in self._sizes:
            if round(len(samples) / size) > _LONGEST:
                continue
            for words, score in self.search(self.log_probabilities(slower(samples, size))).items():
                found[words] = float(np.logaddexp(found[words], score)) if words in found else score
        return found

    def decide(self, found: dict[str, float]) -> tuple[str, float, bool, tuple[Hypothesis, ...]]:
        """Words, confidence, whether it is clear, and the best few, from what :meth:`search` found."""
        if not found:
            return "", 0.0, False, ()
        top = max(found.values())
        mass = {words: math.exp(self._sharpness * (score - top)) for words, score in found.items()}
        chance = 1.0 - mass.get("", 0.0) / sum(mass.values())
        numbers = {words: self._sharpness * score for words, score in found.items() if words}
        best = tuple(Hypothesis(h.words, h.score * chance) for h in choose(numbers))
        if not best or chance < self._number:
            return "", 1.0 - chance, chance < 1.0 - self._sure, best
        # The last sound alone tells nineteen from ninety, and it is the first to drown.
        swapped = any(h.score > self._swap and _level(h.words) == _level(best[0].words) for h in best[1:])
        return best[0].words, best[0].score, best[0].score >= self._sure and not swapped, best

    def log_probabilities(self, samples: np.ndarray) -> np.ndarray:
        """Log-probabilities of shape (time, phones), one row every 20 ms; column 0 is the blank."""
        logits = affine(encode(log_mel(samples), self._weights), self._weights, "output")
        logits -= logits.max(axis=1, keepdims=True)
        scaled: np.ndarray = logits - np.log(np.exp(logits).sum(axis=1, keepdims=True))
        return scaled

    def search(self, scores: np.ndarray, most: int = 1_000) -> dict[str, float]:
        """Phrases with log scores from phone log-probabilities; ``""`` stands for anything that is no number."""
        return self._graph.search(scores, self._beam, most)


def _damaged(folder: Path, error: Exception) -> SayitError:
    return SayitError(f"The listener in {folder} is damaged ({error.__class__.__name__}): install sayit again.")


def slower(samples: np.ndarray, speed: float) -> np.ndarray:
    """Play ``samples`` at ``speed`` (1 or less): pitch and formants fall together, as with a longer vocal tract."""
    if speed == 1.0:
        return samples
    length = round(len(samples) / speed)
    whole = -(-len(samples) // 1600) * 1600  # sizes of few prime factors are fast to transform
    longer = round(whole / speed)
    longer += -longer % 100
    played = np.fft.irfft(np.fft.rfft(samples, whole), longer) * (longer / whole)
    return played[:length].astype(np.float32)


def _level(words: str) -> str:
    """The phrase with teens and tens made one."""
    return re.sub(
        r"(thir|four|for|fif|six|seven|eigh|nine)(teen|ty)\b", lambda m: m[1].replace("four", "for") + "ty", words
    )
