"""Write a trained network as ``network.npz``: matrices rounded to 63 steps a row, the rest as float16.

Rounded so, they fill 5 bits a weight after the file's own compression instead of the 8 that a byte has.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import torch

STEPS = 31
SHARES = (0.5, 0.6, 0.7, 0.8, 0.9, 1.0)


def write(state: dict[str, torch.Tensor], path: Path) -> None:
    out = {}
    for name, value in state.items():
        array = value.float().cpu().numpy()
        if array.ndim == 3:  # convolutions become one affine map over three spliced frames
            array = array.transpose(0, 2, 1).reshape(array.shape[0], -1)
        if array.ndim == 2:
            out[name], out[name.removesuffix(".weight") + ".scale"] = rounded(array)
        else:
            out[name] = array.astype(np.float16)
    np.savez_compressed(path, **out)


def rounded(array: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Integers (rows, columns) and a scale for each row: the one with the least squared error between clipping and coarseness."""
    top = np.abs(array).max(1) / STEPS
    tried = []
    for scale in (share * top[:, None] for share in SHARES):
        steps = np.clip(np.round(array / scale), -STEPS, STEPS)
        tried.append(((array - steps * scale) ** 2).sum(1))
    scale = (top * np.array(SHARES)[np.argmin(tried, axis=0)]).astype(np.float32)
    return np.clip(np.round(array / scale[:, None]), -STEPS, STEPS).astype(np.int8), scale


def read(path: Path) -> dict[str, torch.Tensor]:
    """The weights of ``write`` again, rounded as they are in the file."""
    import torch

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
