"""Whisper's encoder with a phone layer on top: phones (and CTC's blank, output 0) every 20 ms."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import torch
from torch import nn
from torch.nn.functional import dropout, gelu, scaled_dot_product_attention

HEAD = 64  # width of one attention head, in every size of Whisper


def positions(width: int, count: int = 1500) -> torch.Tensor:
    step = np.exp(-np.log(10_000) / (width // 2 - 1) * np.arange(width // 2))
    at = np.arange(count)[:, None] * step[None]
    return torch.tensor(np.concatenate([np.sin(at), np.cos(at)], 1), dtype=torch.float32)


class Layer(nn.Module):
    def __init__(self, width: int, drop: float) -> None:
        super().__init__()
        self.heads, self.drop = width // HEAD, drop
        self.attention_norm = nn.LayerNorm(width)
        self.qkv = nn.Linear(width, 3 * width)
        self.attended = nn.Linear(width, width)
        self.feed_norm = nn.LayerNorm(width)
        self.wide = nn.Linear(width, 4 * width)
        self.narrow = nn.Linear(4 * width, width)

    def forward(self, x, mask):
        batch, time, width = x.shape
        q, k, v = self.qkv(self.attention_norm(x)).view(batch, time, 3, self.heads, HEAD).permute(2, 0, 3, 1, 4)
        y = scaled_dot_product_attention(q, k, v, attn_mask=mask)
        y = self.attended(y.transpose(1, 2).reshape(batch, time, width))
        x = x + dropout(y, self.drop, self.training)
        y = self.narrow(dropout(gelu(self.wide(self.feed_norm(x)), approximate="tanh"), self.drop, self.training))
        return x + dropout(y, self.drop, self.training)


class Network(nn.Module):
    """``width`` and ``layers`` as in Whisper's sizes: 384 and 4 (tiny), 512 and 6 (base)."""

    def __init__(
        self, phones: int, width: int = 384, layers: int = 4, drop: float = 0.1, layer_drop: float = 0.0
    ) -> None:
        super().__init__()
        self.conv1 = nn.Conv1d(80, width, 3, padding=1)
        self.conv2 = nn.Conv1d(width, width, 3, stride=2, padding=1)
        self.register_buffer("positions", positions(width), persistent=False)
        self.layers = nn.ModuleList(Layer(width, drop) for _ in range(layers))
        self.norm = nn.LayerNorm(width)
        self.layer_drop = layer_drop
        self.dropout = nn.Dropout(drop)
        self.output = nn.Linear(width, phones)

    def forward(self, features: torch.Tensor, frames: torch.Tensor):
        """(batch, frames, 80) and counts → log-probabilities (batch, time, phones) and time counts."""
        x = gelu(self.conv1(features.transpose(1, 2)), approximate="tanh")
        # What lies behind a recording's end must look as in a batch of one: zeros.
        there = torch.arange(x.shape[2], device=x.device)[None] < frames[:, None]
        x = gelu(self.conv2(x * there[:, None]), approximate="tanh").transpose(1, 2)
        times = (frames + 1) // 2
        mask = (torch.arange(x.shape[1], device=x.device)[None] < times[:, None])[:, None, None]
        x = x + self.positions[: x.shape[1]]
        for layer in self.layers:
            if not self.training or random.random() >= self.layer_drop:  # stochastic depth, Huang et al. 2016
                x = layer(x, mask)
        return self.output(self.dropout(self.norm(x))).float().log_softmax(2), times


def from_whisper(path: Path, phones: int, drop: float, layer_drop: float) -> Network:
    """A network that starts from the arrays written by ``whisper_weights.py``, in their size."""
    found = np.load(path)
    layers = sum(name.endswith("/ffn/layer_norm/gamma") for name in found.files)
    network = Network(phones, len(found["layer_norm/gamma"]), layers, drop, layer_drop)

    def array(name: str) -> torch.Tensor:
        value = found[name].astype(np.float32)
        if name + "_scale" in found:
            value /= found[name + "_scale"].reshape(-1, *[1] * (value.ndim - 1))
        return torch.tensor(value)

    state = {f"{c}.{w}": array(f"{c}/{w}") for c in ("conv1", "conv2") for w in ("weight", "bias")}
    names = {
        "attention_norm": "self_attention/layer_norm",
        "qkv": "self_attention/linear_0",
        "attended": "self_attention/linear_1",
        "feed_norm": "ffn/layer_norm",
        "wide": "ffn/linear_0",
        "narrow": "ffn/linear_1",
    }
    for i in range(layers):
        for ours, theirs in names.items():
            parts = ("gamma", "beta") if "norm" in ours else ("weight", "bias")
            for mine, part in zip(("weight", "bias"), parts, strict=False):
                state[f"layers.{i}.{ours}.{mine}"] = array(f"layer_{i}/{theirs}/{part}")
    state |= {"norm.weight": array("layer_norm/gamma"), "norm.bias": array("layer_norm/beta")}
    missing, unexpected = network.load_state_dict(state, strict=False)
    assert set(missing) == {"output.weight", "output.bias"} and not unexpected, (missing, unexpected)
    return network
