"""Write a trained network as ``network.npz``: matrices as int8 with one scale a row, the rest as float16.

    python export.py CHECKPOINT.pt FOLDER
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import torch


def write(state: dict[str, torch.Tensor], path: Path) -> None:
    out = {}
    for name, value in state.items():
        array = value.float().cpu().numpy()
        if array.ndim == 3:  # convolutions become one affine map over three spliced frames
            array = array.transpose(0, 2, 1).reshape(array.shape[0], -1)
        if array.ndim == 2:
            scale = np.abs(array).max(1) / 127
            out[name] = np.round(array / scale[:, None]).astype(np.int8)
            out[name.removesuffix(".weight") + ".scale"] = scale.astype(np.float32)
        else:
            out[name] = array.astype(np.float16)
    np.savez(path, **out)


def read(path: Path) -> dict[str, torch.Tensor]:
    """The weights of ``write`` again, rounded as they are in the file."""
    with np.load(path) as file:
        arrays = {name: file[name] for name in file.files}
    state = {}
    for name, array in arrays.items():
        if name.endswith(".scale"):
            continue
        value = array.astype(np.float32)
        if (scale := arrays.get(name.removesuffix(".weight") + ".scale")) is not None:
            value *= scale[:, None]
        if name.startswith("conv") and value.ndim == 2:
            value = value.reshape(value.shape[0], 3, -1).transpose(0, 2, 1)
        state[name] = torch.tensor(value.copy())
    return state


def main() -> None:
    folder = Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    write(torch.load(sys.argv[1], map_location="cpu"), folder / "network.npz")


if __name__ == "__main__":
    main()
