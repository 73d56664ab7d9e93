"""Rooms, microphones, noise, levels, voices and pace: make each recording sound like another child elsewhere.

Everything works on a batch on the GPU: ``wave`` (batch, samples) in ±1 and ``lengths`` (batch,) in samples.
"""

from __future__ import annotations

import math

import torch

RATE = 16_000


def uniform(shape, low, high, device):
    return low + (high - low) * torch.rand(shape, device=device)


def resample(wave: torch.Tensor, lengths: torch.Tensor, factor: torch.Tensor, slowest: float, taps: int = 8):
    """Play faster by ``factor`` (batch,): raises pitch and formants together, as a shorter vocal tract does.

    No factor is below ``slowest``, which alone says how long the result is: its shape must not change from batch to batch."""
    new = torch.floor(lengths / factor).long()
    longest = math.ceil(wave.shape[1] / slowest / 16384) * 16384
    at = torch.arange(longest, device=wave.device)[None] * factor[:, None]
    whole = torch.floor(at)
    out = torch.zeros_like(at)
    cutoff = torch.clamp(1.0 / factor, max=1.0)[:, None]
    padded = torch.nn.functional.pad(wave, (taps, taps + 1))
    for k in range(-taps + 1, taps + 1):
        distance = at - (whole + k)
        kernel = (
            cutoff * torch.sinc(cutoff * distance) * (0.5 + 0.5 * torch.cos(math.pi * (distance / taps).clamp(-1, 1)))
        )
        index = (whole.long() + k + taps).clamp(0, padded.shape[1] - 1)
        out += torch.gather(padded, 1, index) * kernel
    mask = torch.arange(out.shape[1], device=wave.device)[None] < new[:, None]
    return out * mask, new


def late_and_early(piece: torch.Tensor, share: float) -> torch.Tensor:
    """Without up to 50 ms of the voice at its start, and at its end, each in so many of the recordings (batch, samples).

    Microphones that open late, and recordings trimmed by loudness, lose that much of an "s" or an "f"."""
    batch, samples = piece.shape
    device = piece.device
    loud = (piece.abs() > 0.03 * piece.abs().amax(1, keepdim=True)).float()
    first, last = loud.argmax(1), samples - 1 - loud.flip(1).argmax(1)
    lost = uniform((2, batch), 0, 0.05 * RATE, device) * (torch.rand(2, batch, device=device) < share)
    at = torch.arange(samples, device=device)[None]
    kept = (at >= (first + lost[0])[:, None]) & (at <= (last - lost[1])[:, None])
    return torch.where((lost > 0).any(0)[:, None], piece * kept, piece)


def rhythm(steps: int, ends: torch.Tensor) -> torch.Tensor:
    """How much faster each 10 ms are said (batch, steps), where ``ends`` (batch,) tells the step at which the voice ends.

    Half of all swing by an eighth; in two of five one place is drawn out to up to 2.5 times its length, mostly near the end,
    as children say a vowel that they like, or the last syllable of all.
    """
    batch, device = len(ends), ends.device
    nodes = torch.randn(batch, 1, steps // 30 + 2, device=device)
    swing = torch.nn.functional.interpolate(nodes, size=steps, mode="linear")[:, 0] * 0.12
    swing = swing * (torch.rand(batch, 1, device=device) < 0.5)
    at = torch.arange(steps, device=device)[None]
    last = torch.rand(batch, device=device) < 0.6
    centre = torch.where(last, ends - uniform(batch, 5, 30, device), ends * torch.rand(batch, device=device))
    hill = torch.exp(-0.5 * ((at - centre[:, None]) / uniform((batch, 1), 4, 12, device)).square())
    drawn = torch.log(uniform((batch, 1), 1.2, 2.5, device)) * (torch.rand(batch, 1, device=device) < 0.4)
    return torch.exp(swing - hill * drawn)


def response(batch: int, device, size: int, room_share: float, filter_share: float) -> torch.Tensor:
    """Frequency response (batch, size/2+1) of a random room and a random cheap microphone."""
    t = torch.arange(size, device=device)[None] / RATE
    decay = uniform((batch, 1), 0.08, 0.6, device)
    tail = torch.randn(batch, size, device=device) * torch.exp(-6.9 * t / decay)
    tail *= (t > uniform((batch, 1), 0.001, 0.01, device)) * 1.0
    tail /= tail.square().sum(1, keepdim=True).sqrt() + 1e-6
    direct = torch.zeros(batch, size, device=device)
    direct[:, 0] = 1.0
    wet = 10 ** (uniform((batch, 1), -20, -3, device) / 20) * (torch.rand(batch, 1, device=device) < room_share)
    room = torch.fft.rfft(direct + wet * tail)
    points = 12  # random gains on a mel-like grid
    gains = torch.randn(batch, points, device=device) * uniform((batch, 1), 0.5, 5.0, device)
    tilt = torch.linspace(-1, 1, points, device=device)[None] * uniform((batch, 1), -8, 8, device)
    hz = torch.linspace(0, RATE / 2, size // 2 + 1, device=device)
    place = torch.log1p(hz / 700) / math.log1p(RATE / 2 / 700) * (points - 1)
    left = place.floor().long().clamp(max=points - 2)
    part = place - left
    curve = gains + tilt
    db = curve[:, left] * (1 - part) + curve[:, left + 1] * part
    cut_high = torch.where(torch.rand(batch, 1, device=device) < 0.15, uniform((batch, 1), 3300, 7500, device), 1e5)
    cut_low = torch.where(torch.rand(batch, 1, device=device) < 0.3, uniform((batch, 1), 60, 320, device), 0.0)
    db = (
        db
        - 40 * torch.sigmoid((hz[None] - cut_high) / 150)
        - 30 * torch.sigmoid((cut_low - hz[None]) / 20) * (cut_low > 0)
    )
    on = (torch.rand(batch, 1, device=device) < filter_share) * 1.0
    return room * 10 ** (db * on / 20)


def coloured_noise(batch: int, samples: int, device) -> torch.Tensor:
    """Noise of random slope with slow loudness swells, unit power."""
    # A fast Fourier transform wants a size that it has met before.
    whole = -(-samples // 16384) * 16384
    spectrum = torch.fft.rfft(torch.randn(batch, whole, device=device))
    hz = torch.linspace(0, RATE / 2, spectrum.shape[1], device=device)[None].clamp(min=30)
    shape = (hz / 1000) ** (-uniform((batch, 1), -0.2, 1.3, device))
    bump = torch.exp(-0.5 * ((torch.log(hz) - torch.log(uniform((batch, 1), 100, 5000, device))) / 0.4) ** 2)
    shape = shape * (1 + bump * uniform((batch, 1), 0, 6, device))
    noise = torch.fft.irfft(spectrum * shape, n=whole)[:, :samples]
    slow = torch.nn.functional.interpolate(
        torch.randn(batch, 1, samples // 4000 + 2, device=device), size=samples, mode="linear"
    )[:, 0]
    noise = noise * torch.exp(slow * uniform((batch, 1), 0, 0.8, device))
    return noise / (noise.square().mean(1, keepdim=True).sqrt() + 1e-8)


def telephone(wave: torch.Tensor) -> torch.Tensor:
    """At 8 kHz in 16 bits and back, half of it as ITU-T G.711's mu-law (its formula, not its table), and of those at 300 Hz cut.

    It comes after the noise: what goes through a telephone has nothing over 4 kHz, not even noise."""
    batch, samples = wave.shape
    device = wave.device
    whole = -(-samples // 16384) * 16384
    spectrum = torch.fft.rfft(wave, n=whole)
    hz = torch.linspace(0, RATE / 2, whole // 2 + 1, device=device)[None]
    law = torch.rand(batch, 1, device=device) < 0.5
    high = torch.sigmoid((uniform((batch, 1), 3400, 4000, device) - hz) / 40)
    low = torch.where(law, torch.sigmoid((hz - 300) / 20), 1.0)
    narrow = torch.fft.irfft((spectrum * high * low)[:, : whole // 4 + 1], n=whole // 2) / 2
    loud = torch.log1p(255 * narrow.abs()) / math.log(256)
    coded = narrow.sign() * torch.expm1(torch.round(loud * 127) / 127 * math.log(256)) / 255
    narrow = torch.where(law, coded, torch.round(narrow * 32768) / 32768)
    return torch.fft.irfft(torch.nn.functional.pad(torch.fft.rfft(narrow), (0, whole // 4)), n=whole)[:, :samples] * 2


def rms(wave: torch.Tensor, lengths: torch.Tensor) -> torch.Tensor:
    return (wave.square().sum(1) / lengths).sqrt()[:, None] + 1e-6


def spoil(wave: torch.Tensor, lengths: torch.Tensor, other: torch.Tensor, strength: float = 1.0) -> torch.Tensor:
    """Room, microphone, noise or babble (``other``: another batch of speech of the same shape), level, clipping."""
    batch, samples = wave.shape
    device = wave.device
    mask = torch.arange(samples, device=device)[None] < lengths[:, None]
    size = 8192
    padded = -(-(samples + size) // 16384) * 16384
    shape = torch.fft.irfft(response(batch, device, size, 0.5 * strength, 0.7 * strength), n=size)
    wave = (
        torch.fft.irfft(torch.fft.rfft(wave, n=padded) * torch.fft.rfft(shape, n=padded), n=padded)[:, :samples] * mask
    )
    loud = rms(wave, lengths)
    kind = torch.rand(batch, 1, device=device)
    noise = coloured_noise(batch, samples, device)
    hard = torch.rand(batch, 1, device=device) < 0.3
    ratio = torch.where(hard, uniform((batch, 1), 3, 15, device), uniform((batch, 1), 0, 36, device))
    wave = torch.where(kind < 0.65 * strength, wave + noise * loud * 10 ** (-ratio / 20), wave)
    # One voice beside it, or six at once.
    one = other / rms(other, lengths)
    six = sum(one.roll(k, 0).roll(k * samples // 7, 1) for k in range(6))
    several = torch.rand(batch, 1, device=device) < 0.6
    talk = torch.where(several, six / (six.square().mean(1, keepdim=True).sqrt() + 1e-6), one)
    ratio = torch.where(several, uniform((batch, 1), 5, 30, device), uniform((batch, 1), 10, 30, device))
    wave = torch.where(kind > 1 - 0.27 * strength, wave + talk * loud * 10 ** (-ratio / 20), wave)
    level = 10 ** (uniform((batch, 1), -42, -10, device) / 20)
    wave = wave / rms(wave, lengths) * level
    drive = torch.where(torch.rand(batch, 1, device=device) < 0.07, uniform((batch, 1), 2, 10, device), 0.0)
    limit = torch.where(drive > 0, wave.abs().amax(1, keepdim=True) / drive.clamp(min=1), torch.ones_like(drive))
    wave = torch.maximum(torch.minimum(wave, limit), -limit).clamp(-1, 1)
    floor = torch.randn_like(wave) * 10 ** (uniform((batch, 1), -90, -60, device) / 20)
    wave = wave + floor * (torch.rand(batch, 1, device=device) < 0.7)
    wave = torch.round(wave * 32768).clamp(-32768, 32767)
    far = torch.rand(batch, 1, device=device) < 0.2 * strength
    return torch.where(far, telephone(wave / 32768) * 32768, wave) * mask


def mask_features(energies: torch.Tensor, frames: torch.Tensor) -> torch.Tensor:
    """SpecAugment (Park et al. 2019) on log-mel energies: one band and two short stretches become the mean."""
    batch, time, bins = energies.shape
    device = energies.device
    mean = energies.sum((1, 2), keepdim=True) / (frames[:, None, None] * bins)
    band = torch.arange(bins, device=device)[None]
    width = torch.randint(0, 16, (batch, 1), device=device)
    start = (torch.rand(batch, 1, device=device) * (bins - width)).long()
    out = torch.where(((band >= start) & (band < start + width))[:, None, :], mean, energies)
    at = torch.arange(time, device=device)[None]
    for _ in range(2):
        width = torch.minimum(torch.randint(0, 12, (batch,), device=device), frames // 12)[:, None]
        start = (torch.rand(batch, 1, device=device) * (frames[:, None] - width)).long()
        out = torch.where(((at >= start) & (at < start + width))[:, :, None], mean, out)
    return out * (torch.arange(time, device=device)[None] < frames[:, None])[:, :, None]
