"""Whisper tiny.en's encoder with a phone layer on top: phones (and CTC's blank, output 0) every 20 ms."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch
from torch import nn
from torch.nn.functional import gelu, scaled_dot_product_attention

WIDTH, HEADS, LAYERS = 384, 6, 4


def positions(count: int = 1500) -> torch.Tensor:
    step = np.exp(-np.log(10_000) / (WIDTH // 2 - 1) * np.arange(WIDTH // 2))
    at = np.arange(count)[:, None] * step[None]
    return torch.tensor(np.concatenate([np.sin(at), np.cos(at)], 1), dtype=torch.float32)


class Layer(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.attention_norm = nn.LayerNorm(WIDTH)
        self.qkv = nn.Linear(WIDTH, 3 * WIDTH)
        self.attended = nn.Linear(WIDTH, WIDTH)
        self.feed_norm = nn.LayerNorm(WIDTH)
        self.wide = nn.Linear(WIDTH, 4 * WIDTH)
        self.narrow = nn.Linear(4 * WIDTH, WIDTH)

    def forward(self, x, mask):
        batch, time, _ = x.shape
        q, k, v = self.qkv(self.attention_norm(x)).view(batch, time, 3, HEADS, WIDTH // HEADS).permute(2, 0, 3, 1, 4)
        y = scaled_dot_product_attention(q, k, v, attn_mask=mask)
        x = x + self.attended(y.transpose(1, 2).reshape(batch, time, WIDTH))
        return x + self.narrow(gelu(self.wide(self.feed_norm(x)), approximate="tanh"))


class Network(nn.Module):
    def __init__(self, phones: int, dropout: float = 0.1) -> None:
        super().__init__()
        self.conv1 = nn.Conv1d(80, WIDTH, 3, padding=1)
        self.conv2 = nn.Conv1d(WIDTH, WIDTH, 3, stride=2, padding=1)
        self.register_buffer("positions", positions(), persistent=False)
        self.layers = nn.ModuleList(Layer() for _ in range(LAYERS))
        self.norm = nn.LayerNorm(WIDTH)
        self.dropout = nn.Dropout(dropout)
        self.output = nn.Linear(WIDTH, phones)

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
            x = layer(x, mask)
        return self.output(self.dropout(self.norm(x))).float().log_softmax(2), times

    def load_whisper(self, path: Path) -> None:
        """Start from the arrays written by ``whisper_weights.py``."""
        found = np.load(path)

        def array(name: str) -> torch.Tensor:
            value = found[name].astype(np.float32)
            if name + "_scale" in found:
                value /= found[name + "_scale"].reshape(-1, *[1] * (value.ndim - 1))
            return torch.tensor(value)

        state = {f"{c}.{w}": array(f"{c}/{w}") for c in ("conv1", "conv2") for w in ("weight", "bias")}
        names = {"attention_norm": "self_attention/layer_norm", "qkv": "self_attention/linear_0",
                 "attended": "self_attention/linear_1", "feed_norm": "ffn/layer_norm",
                 "wide": "ffn/linear_0", "narrow": "ffn/linear_1"}
        for i in range(LAYERS):
            for ours, theirs in names.items():
                parts = ("gamma", "beta") if "norm" in ours else ("weight", "bias")
                for mine, part in zip(("weight", "bias"), parts):
                    state[f"layers.{i}.{ours}.{mine}"] = array(f"layer_{i}/{theirs}/{part}")
        state |= {"norm.weight": array("layer_norm/gamma"), "norm.bias": array("layer_norm/beta")}
        missing, unexpected = self.load_state_dict(state, strict=False)
        assert set(missing) == {"output.weight", "output.bias"} and not unexpected, (missing, unexpected)
