"""Whisper's log-mel features (80 bins every 10 ms) for batches in PyTorch, with room for augmentation.

As in Radford et al. 2022, but the recording stays as long as it is, both ends are continued with zeros, and steady noise
is taken out (Boll 1979). ``sayit.hearing.number_listener`` computes the same in NumPy.
"""

from __future__ import annotations

import math

import numpy as np
import torch

RATE, SHIFT, WINDOW, MELS = 16_000, 160, 400, 80
HALF = WINDOW // 2
FLOOR_BIAS, QUIET_ROOM = 1.3, 100.0  # as in sayit.hearing.number_listener


def mel_points() -> np.ndarray:
    """The 82 corner frequencies in Hz of Slaney's mel scale, 0 to 8,000 Hz."""
    top = 15.0 + 27.0 * math.log(8000.0 / 1000.0) / math.log(6.4)
    mels = np.linspace(0.0, top, MELS + 2)
    return np.where(mels < 15.0, mels * 200.0 / 3.0, 1000.0 * np.exp(math.log(6.4) / 27.0 * (mels - 15.0)))


class LogMel(torch.nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.register_buffer("points", torch.tensor(mel_points(), dtype=torch.float32))
        self.register_buffer("hz", torch.linspace(0, RATE / 2, HALF + 1))
        # One matrix instead of a fast Fourier transform, which plans anew for every batch size.
        angle = 2 * math.pi * torch.outer(torch.arange(WINDOW), torch.arange(HALF + 1)).double() / WINDOW
        waves = torch.cat([angle.cos(), angle.sin()], 1) * torch.hann_window(WINDOW).double()[:, None]
        self.register_buffer("waves", waves.float())

    def banks(self, warp: torch.Tensor) -> torch.Tensor:
        """Filters of shape (batch, bins, MELS); ``warp`` > 1 moves formants up."""
        at = (self.hz[None] * warp[:, None])[:, :, None]
        low, mid, high = self.points[:-2], self.points[1:-1], self.points[2:]
        return torch.minimum((at - low) / (mid - low), (high - at) / (high - mid)).clamp(min=0) * (2.0 / (high - low))

    def log_mel(self, wave: torch.Tensor, lengths: torch.Tensor, warp=None, hop=None):
        """``wave`` (batch, samples) in ±1, ``lengths`` in samples → (batch, frames, MELS) and frame counts.

        ``hop`` (batch, steps of 10 ms) stretches time without touching the spectrum: 2 takes every second step."""
        batch, device = wave.shape[0], wave.device
        steps = -(-wave.shape[1] // SHIFT)
        hop = torch.ones(batch, steps, device=device) if hop is None else hop
        # Frames begun before each step; frame i lies where i are reached.
        begun = torch.nn.functional.pad((1 / hop.double()).cumsum(1), (1, 0))
        frames = begun.gather(1, (lengths[:, None] // SHIFT).long())[:, 0].add(1e-6).floor().long().clamp(min=1)
        wave = torch.nn.functional.pad(wave, (HALF, HALF + SHIFT))
        frame = torch.arange(int(frames.max()), device=device).double().expand(batch, -1).contiguous() + 1e-9
        step = (torch.searchsorted(begun, frame, right=True) - 1).clamp(0, steps - 1)
        starts = ((step + (frame - begun.gather(1, step)) * hop.gather(1, step)) * SHIFT).floor().long()
        starts = starts.clamp(max=wave.shape[1] - WINDOW)
        x = torch.gather(wave.unfold(1, WINDOW, 1), 1, starts[:, :, None].expand(-1, -1, WINDOW))
        real, imaginary = (x @ self.waves).chunk(2, dim=2)
        power = real.square() + imaginary.square()
        energies = torch.bmm(power, self.banks(warp if warp is not None else torch.ones(batch, device=device)))
        there = torch.arange(energies.shape[1], device=device)[None] < frames[:, None]
        energies = quietened(energies, frames, there).clamp(min=1e-10).log10()
        top = energies.masked_fill(~there[:, :, None], -10.0).amax((1, 2), keepdim=True)
        energies = (torch.maximum(energies, top - 8.0) + 4.0) / 4.0
        return energies * there[:, :, None], frames


def quietened(power: torch.Tensor, frames: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    """Take steady noise out of mel power (batch, frames, bands); see ``sayit.hearing.number_listener.quietened``."""
    part = (frames // 5).clamp(min=1)[:, None]
    rank = torch.arange(power.shape[1], device=power.device)[None]
    lowest = (rank < part)[:, :, None]
    ordered = power.masked_fill(~there[:, :, None], math.inf).sort(dim=1).values
    floor = torch.where(lowest, ordered, 0.0).sum(1) / part * FLOOR_BIAS
    loudness = power.sum(2).masked_fill(~there, -1.0).sort(dim=1, descending=True).values
    loud = torch.where(rank < part, loudness, 0.0).sum(1) / part[:, 0]
    quiet = (loud > QUIET_ROOM * floor.sum(1))[:, None, None]
    return torch.where(quiet, power, torch.maximum(power - floor[:, None], 0.3 * power))
