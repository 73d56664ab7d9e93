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
from pathlib import Path

import numpy as np

from sayit.errors import SayitError
from sayit.hearing.heard import Heard, Hypothesis
from sayit.hearing.hypotheses import choose

__all__ = ["NumberListener", "is_number_model"]

FILLER = "[unk]"
_RATE, _SHIFT, _WINDOW, _MELS = 16_000, 160, 400, 80
_HEAD = 64
_SHORTEST, _LONGEST = _RATE // 10, 28 * _RATE
_FLOOR_BIAS = 1.3  # the quietest frames lie under the mean of the noise
_QUIET_ROOM = 100.0  # 20 dB
_AROUND = frozenset({"[other]", "um", "i", "it's"})
"""Speech around a number or within a correction; "no", "mean" and "wait" stay, since the number after them counts."""


def is_number_model(folder: Path) -> bool:
    """Whether ``folder`` holds a model of this kind."""
    return (folder / "network.npz").is_file() and (folder / "graph.npz").is_file()


class NumberListener:
    """Hear one number said by a child; see the module for how."""

    def __init__(
        self,
        folder: Path,
        *,
        beam: float = 11.0,
        sharpness: float = 0.46,
        sure: float = 0.65,
        number: float = 0.5,
        swap: float = 0.15,
        sizes: tuple[float, ...] = (1.0,),
    ) -> None:
        """Load the model (about 0.1 s).

        ``beam`` is in nats; ``sharpness`` scales log scores before they become
        probabilities; ``sure`` is the probability under which an answer is asked for
        again, ``number`` the one under which it is no number at all; ``swap`` is the
        probability that the same phrase with "-teen" for "-ty" (or the reverse) may have
        before the answer is in doubt; ``sizes`` are the speeds at which the sound is played: a
        network that learnt from few children hears a small child's voice better when it is slower.
        """
        self.name = folder.name
        self._beam, self._sharpness = beam, sharpness
        self._sure, self._number, self._swap, self._sizes = sure, number, swap, sizes
        try:
            self._weights = _weights(folder / "network.npz")
            self._layers = sum(name.endswith(".feed_norm.bias") for name in self._weights)
            with (folder / "graph.npz").open("rb") as opened, np.load(opened) as graph:
                self._graph = {name: graph[name] for name in graph.files}
            self._words = [line.split()[0] for line in (folder / "words.txt").read_text().splitlines()]
        except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile) as error:
            raise SayitError(
                f"The listener in {folder} is damaged ({error.__class__.__name__}): install sayit again."
            ) from None

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
        w = self._weights
        x = _gelu(_affine(_spliced(log_mel(samples), 1), w, "conv1"))
        x = _gelu(_affine(_spliced(x, 2), w, "conv2"))
        x += _positions(x.shape[1])[: len(x)]
        for layer in range(self._layers):
            name = f"layers.{layer}."
            qkv = _affine(_normed(x, w, name + "attention_norm"), w, name + "qkv")
            q, k, v = qkv.reshape(len(x), 3, -1, _HEAD).transpose(1, 2, 0, 3)
            scores = (q @ k.transpose(0, 2, 1)) * _HEAD**-0.5
            scores = np.exp(scores - scores.max(axis=2, keepdims=True))
            mixed = (scores @ v) / scores.sum(axis=2, keepdims=True)
            x += _affine(mixed.transpose(1, 0, 2).reshape(x.shape), w, name + "attended")
            y = _gelu(_affine(_normed(x, w, name + "feed_norm"), w, name + "wide"))
            x += _affine(y, w, name + "narrow")
        logits = _affine(_normed(x, w, "norm"), w, "output")
        logits -= logits.max(axis=1, keepdims=True)
        scaled: np.ndarray = logits - np.log(np.exp(logits).sum(axis=1, keepdims=True))
        return scaled

    def search(self, scores: np.ndarray, most: int = 2_000) -> dict[str, float]:
        """Phrases with log scores from phone log-probabilities; ``""`` stands for anything that is no number.

        A token is a place in the graph and the words so far; tokens that meet are added, as
        connectionist temporal classification sums over alignments.
        """
        graph = self._graph
        first, degree, target = graph["first"], graph["degree"], graph["target"]
        phone, word, cost = graph["phone"], graph["word"], graph["cost"]
        histories: list[tuple[int, int]] = [(-1, 0)]
        ids: dict[tuple[int, int], int] = {}
        state, history, score = np.zeros(1, np.int64), np.zeros(1, np.int64), np.zeros(1)
        for row in scores:
            counts = degree[state]
            ends = np.cumsum(counts)
            token = np.repeat(np.arange(len(state)), counts)
            arc = np.arange(ends[-1]) - np.repeat(ends - counts, counts) + np.repeat(first[state], counts)
            reached = score[token] + row[phone[arc]] - cost[arc]
            keep = reached > reached.max() - self._beam
            if keep.sum() > most:
                keep = reached >= np.partition(reached, -most)[-most]
            arc, reached, past = arc[keep], reached[keep], history[token[keep]]
            for i in np.flatnonzero(word[arc]):
                key = (int(past[i]), int(word[arc[i]]))
                if key not in ids:
                    ids[key] = len(histories)
                    histories.append(key)
                past[i] = ids[key]
            places = target[arc]
            order = np.lexsort((past, places))
            places, past, reached = places[order], past[order], reached[order]
            fresh = np.flatnonzero(np.r_[True, (places[1:] != places[:-1]) | (past[1:] != past[:-1])])
            state, history = places[fresh], past[fresh]
            score = np.logaddexp.reduceat(reached, fresh)
        final = score - graph["final"][state]
        found: dict[str, float] = {}
        for end in set(history[np.isfinite(final)].tolist()):
            total = float(np.logaddexp.reduce(final[(history == end) & np.isfinite(final)]))
            words: list[str] = []
            at = end
            while at > 0:
                at, last = histories[at]
                words.insert(0, self._words[last])
            text = "" if FILLER in words else " ".join(w for w in words if w not in _AROUND)
            found[text] = np.logaddexp(found[text], total) if text in found else total
        return found


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


def log_mel(samples: np.ndarray) -> np.ndarray:
    """Whisper's log-mel energies of shape (frames, 80), one row every 10 ms, both ends continued with zeros."""
    frames = max(1, len(samples) // _SHIFT)
    half = _WINDOW // 2
    padded = np.pad(np.asarray(samples, np.float32), (half, half + _SHIFT))
    pieces = np.lib.stride_tricks.sliding_window_view(padded, _WINDOW)[: frames * _SHIFT : _SHIFT]
    window = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(_WINDOW) / _WINDOW)).astype(np.float32)
    power = (np.abs(np.fft.rfft(pieces * window)) ** 2).astype(np.float32) @ _banks()
    energies = np.log10(np.maximum(quietened(power), 1e-10))
    scaled: np.ndarray = (np.maximum(energies, energies.max() - 8.0) + 4.0) / 4.0
    return scaled


def quietened(power: np.ndarray) -> np.ndarray:
    """Take steady noise out of mel power (frames, bands), as Boll 1979 does; quiet rooms are left alone.

    The floor is what the quietest fifth of each band's frames hold.
    """
    part = max(1, len(power) // 5)
    ordered = np.sort(power, axis=0)
    floor = ordered[:part].mean(axis=0) * _FLOOR_BIAS
    loud = np.sort(power.sum(axis=1))[-part:].mean()
    if loud > _QUIET_ROOM * floor.sum():
        return power
    cleaner: np.ndarray = np.maximum(power - floor, 0.3 * power)
    return cleaner


@functools.cache
def _banks() -> np.ndarray:
    """Slaney's mel filters, shape (201, 80), 0 to 8,000 Hz."""
    top = 15.0 + 27.0 * math.log(8.0) / math.log(6.4)
    mels = np.linspace(0.0, top, _MELS + 2)
    points = np.where(mels < 15.0, mels * 200.0 / 3.0, 1000.0 * np.exp(math.log(6.4) / 27.0 * (mels - 15.0)))
    at = np.linspace(0, _RATE / 2, _WINDOW // 2 + 1)[:, None]
    low, mid, high = points[:-2], points[1:-1], points[2:]
    filters = np.minimum((at - low) / (mid - low), (high - at) / (high - mid))
    made: np.ndarray = (np.maximum(filters, 0.0) * (2.0 / (high - low))).astype(np.float32)
    return made


@functools.cache
def _positions(width: int) -> np.ndarray:
    """Sinusoids of shape (1500, width) that tell the network when a frame is."""
    step = np.exp(-np.log(10_000) / (width // 2 - 1) * np.arange(width // 2))
    at = np.arange(1500)[:, None] * step[None]
    return np.concatenate([np.sin(at), np.cos(at)], axis=1).astype(np.float32)


def _gelu(x: np.ndarray) -> np.ndarray:
    made: np.ndarray = 0.5 * x * (1.0 + np.tanh(np.float32(0.7978845608) * (x + np.float32(0.044715) * x * x * x)))
    return made


def _normed(x: np.ndarray, w: dict[str, np.ndarray], name: str) -> np.ndarray:
    x = x - x.mean(axis=1, keepdims=True)
    made: np.ndarray = x / np.sqrt((x * x).mean(axis=1, keepdims=True) + 1e-5) * w[name + ".weight"] + w[name + ".bias"]
    return made


def _affine(x: np.ndarray, w: dict[str, np.ndarray], name: str) -> np.ndarray:
    # Matrices stay int8 until they are used: as float32 they would need four times the memory.
    made: np.ndarray = (x @ w[name + ".weight"].astype(np.float32)) * w[name + ".scale"] + w[name + ".bias"]
    return made


def _spliced(x: np.ndarray, stride: int) -> np.ndarray:
    """Three frames side by side, one frame of zeros at each end: what a convolution sees."""
    padded = np.pad(x, ((1, 1), (0, 0)))
    return np.concatenate([padded[i : i + len(x) : stride] for i in range(3)], axis=1)


def _weights(path: Path) -> dict[str, np.ndarray]:
    """Matrices as int8, turned to (inputs, outputs), with a float32 scale for each output; all else as float32."""
    # Opened here, because numpy leaves a damaged file open.
    with path.open("rb") as opened, np.load(opened) as file:
        arrays = {name: file[name] for name in file.files}
    return {
        name: np.ascontiguousarray(value.T) if value.dtype == np.int8 else value.astype(np.float32)
        for name, value in arrays.items()
    }
