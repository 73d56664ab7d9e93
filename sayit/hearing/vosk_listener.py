"""A Vosk model folder as a listener, held to number words where its graph allows.

Vosk (Apache 2.0) gives the best few word strings with a total log score each.  Models
with a graph composed at run time ("small" ones) take a grammar: number words and ``[unk]``
for anything else.  Models with one static graph keep their own language.
"""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import TYPE_CHECKING

from sayit.errors import SayitError
from sayit.hearing.heard import Heard, Hypothesis
from sayit.hearing.hypotheses import choose
from sayit.numbers import NUMBER_WORDS

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np

__all__ = ["VoskListener"]

_RATE = 16_000
_OTHER = "[unk]"
_WORDS = (*NUMBER_WORDS, "oh")


class VoskListener:
    """Hear through the ``vosk`` package; see the module for how."""

    def __init__(self, folder: Path, *, alternatives: int = 8, sharpness: float = 0.1, sure: float = 0.6) -> None:
        """Load the model in ``folder``.

        ``sharpness`` scales Vosk's log scores before they become probabilities (they sum over
        frames and are far too sure); ``sure`` is the probability under which an answer is asked
        for again.
        """
        import vosk

        vosk.SetLogLevel(-1)
        self.name = folder.name
        self._alternatives, self._sharpness, self._sure = alternatives, sharpness, sure
        try:
            self._model = vosk.Model(str(folder))
        except Exception:  # noqa: BLE001  # all that vosk raises
            raise SayitError(f"Vosk cannot load {folder}: install the model again with `sayit models`.") from None
        dynamic = any((folder / part / "HCLr.fst").is_file() for part in ("graph", "."))
        known = [word for word in _WORDS if self._model.vosk_model_find_word(word) >= 0] if dynamic else []
        self._grammar = json.dumps([" ".join(known), *known, _OTHER]) if known else None

    def weigh(self, samples: np.ndarray, phrases: Sequence[str]) -> dict[str, float]:
        """No second opinion."""
        return {}

    def hear(self, samples: np.ndarray) -> Heard:
        """Hear one answer: float32 samples of shape ``(n,)`` at 16 kHz in [-1, 1]."""
        import numpy as np
        import vosk

        began = time.perf_counter()
        grammar = (self._grammar,) if self._grammar else ()
        recogniser = vosk.KaldiRecognizer(self._model, _RATE, *grammar)
        recogniser.SetMaxAlternatives(self._alternatives)
        recogniser.AcceptWaveform((np.clip(samples, -1.0, 1.0) * 32767).astype("<i2").tobytes())
        found = json.loads(recogniser.FinalResult()).get("alternatives", [])
        words, confidence, clear, best = decide(
            {one["text"]: self._sharpness * one["confidence"] for one in found}, self._sure
        )
        return Heard(words, confidence, clear, best, self.name, len(samples) / _RATE, time.perf_counter() - began)


def decide(scores: dict[str, float], sure: float) -> tuple[str, float, bool, tuple[Hypothesis, ...]]:
    """Words, confidence, whether it is clear, and the best few, from scaled log scores of word strings.

    A string with ``[unk]`` in it is other speech: it counts against every number.
    """
    if not scores:
        return "", 1.0, True, ()
    best = choose({words or _OTHER: score for words, score in scores.items()})
    first = best[0]
    numbers = tuple(one for one in best if _OTHER not in one.words)
    if _OTHER in first.words:
        return "", first.score, first.score >= sure, numbers
    return first.words, first.score, first.score >= sure, numbers
