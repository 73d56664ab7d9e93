"""The layers of a transformer of Whisper's shape (Radford et al. 2022, arXiv 2212.04356), by NumPy alone.

Arrays are float32 with time first. ``w`` are the weights by name, as ``weights`` loads them.
"""

from __future__ import annotations

import functools
from pathlib import Path

import numpy as np

__all__ = ["affine", "attended", "depth", "encode", "fed", "heads", "normed", "positions", "weights"]

_HEAD = 64


def encode(features: np.ndarray, w: dict[str, np.ndarray]) -> np.ndarray:
    """What the encoder makes of features of shape (frames, 80): one row for every two frames."""
    x = _gelu(affine(_spliced(features, 1), w, "conv1"))
    x = _gelu(affine(_spliced(x, 2), w, "conv2"))
    x += positions(x.shape[1])[: len(x)]
    for layer in range(depth(w)):
        name = f"layers.{layer}."
        q, k, v = np.split(affine(normed(x, w, name + "attention_norm"), w, name + "qkv"), 3, axis=1)
        x += affine(attended(heads(q), heads(k), heads(v)), w, name + "attended")
        x += fed(x, w, name)
    return normed(x, w, "norm")


def depth(w: dict[str, np.ndarray]) -> int:
    """How many layers there are."""
    return sum(name.endswith(".feed_norm.bias") for name in w)


def heads(x: np.ndarray) -> np.ndarray:
    """Shape (..., time, width) as (..., heads, time, 64)."""
    return x.reshape(*x.shape[:-1], -1, _HEAD).swapaxes(-2, -3)


def attended(q: np.ndarray, k: np.ndarray, v: np.ndarray, mask: np.ndarray | None = None) -> np.ndarray:
    """Scaled dot-product attention of shapes (..., heads, time, 64); ``mask`` is added; the heads are side by side again."""
    scores = (q @ k.swapaxes(-1, -2)) * np.float32(_HEAD**-0.5)
    if mask is not None:
        scores = scores + mask
    scores = np.exp(scores - scores.max(axis=-1, keepdims=True))
    mixed = (scores @ v) / scores.sum(axis=-1, keepdims=True)
    joined: np.ndarray = mixed.swapaxes(-2, -3).reshape(*mixed.shape[:-3], mixed.shape[-2], -1)
    return joined


def fed(x: np.ndarray, w: dict[str, np.ndarray], name: str) -> np.ndarray:
    """What the feed-forward part of the layer ``name`` adds."""
    return affine(_gelu(affine(normed(x, w, name + "feed_norm"), w, name + "wide")), w, name + "narrow")


@functools.cache
def positions(width: int) -> np.ndarray:
    """Sinusoids of shape (1500, width) that tell the network when a frame is."""
    step = np.exp(-np.log(10_000) / (width // 2 - 1) * np.arange(width // 2))
    at = np.arange(1500)[:, None] * step[None]
    return np.concatenate([np.sin(at), np.cos(at)], axis=1).astype(np.float32)


def _gelu(x: np.ndarray) -> np.ndarray:
    made: np.ndarray = np.float32(0.044715) * x
    made *= x
    made *= x
    made += x
    made *= np.float32(0.7978845608)
    np.tanh(made, out=made)
    made += 1.0
    made *= 0.5 * x
    return made


def normed(x: np.ndarray, w: dict[str, np.ndarray], name: str) -> np.ndarray:
    """Layer normalisation (Ba et al. 2016) over the last axis."""
    made: np.ndarray = x - x.mean(axis=-1, keepdims=True)
    made /= np.sqrt((made * made).mean(axis=-1, keepdims=True) + 1e-5)
    made *= w[name + ".weight"]
    made += w[name + ".bias"]
    return made


def affine(x: np.ndarray, w: dict[str, np.ndarray], name: str) -> np.ndarray:
    """``x`` times a matrix of rounded weights, and a bias, over the last axis."""
    # Matrices stay int8 until they are used: as float32 they would need four times the memory.
    made: np.ndarray = x @ w[name + ".weight"].astype(np.float32)
    made *= w[name + ".scale"]
    made += w[name + ".bias"]
    return made


def _spliced(x: np.ndarray, stride: int) -> np.ndarray:
    """Three frames side by side, one frame of zeros at each end: what a convolution sees."""
    padded = np.pad(x, ((1, 1), (0, 0)))
    return np.concatenate([padded[i : i + len(x) : stride] for i in range(3)], axis=1)


def weights(path: Path) -> dict[str, np.ndarray]:
    """Matrices as int8, turned to (inputs, outputs), with a float32 scale for each output; all else as float32."""
    # Opened here, because numpy leaves a damaged file open.
    with path.open("rb") as opened, np.load(opened) as file:
        arrays = {name: file[name] for name in file.files}
    return {
        name: np.ascontiguousarray(value.T) if value.dtype == np.int8 else value.astype(np.float32)
        for name, value in arrays.items()
    }
