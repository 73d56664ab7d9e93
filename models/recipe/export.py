"""Write a trained network as ``network.npz``: matrices as int8 with one scale a row, the rest as float16.

    python export.py CHECKPOINT.pt FOLDER
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import torch


def main() -> None:
    folder = Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    out = {}
    for name, value in torch.load(sys.argv[1], map_location="cpu").items():
        array = value.float().numpy()
        if array.ndim == 3:  # convolutions become one affine map over three spliced frames
            array = array.transpose(0, 2, 1).reshape(array.shape[0], -1)
        if array.ndim == 2:
            scale = np.abs(array).max(1) / 127
            out[name] = np.round(array / scale[:, None]).astype(np.int8)
            out[name.removesuffix(".weight") + ".scale"] = scale.astype(np.float32)
        else:
            out[name] = array.astype(np.float16)
    np.savez(folder / "network.npz", **out)


if __name__ == "__main__":
    main()
