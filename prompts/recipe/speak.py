"""Speak clips with Kokoro-82M on every core; write one zip of Ogg Opus files a voice and manner.

    python speak.py JOBS.json OUT_FOLDER MODEL_FOLDER SECONDS

``JOBS.json`` holds ``[[voice, manner, clip, token numbers, style number, speed], ...]`` as ``plan.py`` writes it;
``MODEL_FOLDER`` the network ``model.onnx`` and the styles ``STYLE.bin``.  It stops after so many SECONDS, in order.
"""

from __future__ import annotations

import collections
import io
import json
import multiprocessing
import os
import sys
import time
import zipfile
from pathlib import Path

import numpy as np
import soundfile

RATE = 24_000
_held: dict = {}


def begin(folder: str) -> None:
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1
    options.inter_op_num_threads = 1
    _held["net"] = onnxruntime.InferenceSession(f"{folder}/model.onnx", options, providers=["CPUExecutionProvider"])
    _held["styles"] = {p.stem: np.fromfile(p, np.float32).reshape(-1, 256) for p in Path(folder).glob("*.bin")}


def speak(job: list) -> tuple[list, bytes]:
    voice, manner, clip, tokens, style, speed = job
    # A name such as "bf_emma+bf_isabella" is a style half way between two.
    found = np.mean([_held["styles"][one][style] for one in voice.split("+")], axis=0, dtype=np.float32)
    samples = (
        _held["net"]
        .run(
            None,
            {"tokens": np.array([[0, *tokens, 0]]), "style": found[None], "speed": np.array([speed], np.float32)},
        )[0]
        .ravel()
    )
    loud = np.flatnonzero(np.abs(samples) > 0.003)
    samples = samples[max(0, loud[0] - RATE // 10) : loud[-1] + RATE // 10]
    out = io.BytesIO()
    soundfile.write(out, samples, RATE, format="OGG", subtype="OPUS", compression_level=0.85)
    return job, out.getvalue()


def main() -> None:
    jobs, out, model, seconds = json.loads(Path(sys.argv[1]).read_text()), Path(sys.argv[2]), sys.argv[3], sys.argv[4]
    until = time.monotonic() + float(seconds)
    done: dict[tuple[str, str], dict[str, bytes]] = collections.defaultdict(dict)
    with multiprocessing.Pool(os.cpu_count(), begin, (model,)) as pool:
        for job, sound in pool.imap(speak, jobs, chunksize=1):
            done[job[0], job[1]][job[2]] = sound
            if time.monotonic() > until:
                break
        pool.terminate()
    for (voice, manner), clips in done.items():
        with zipfile.ZipFile(out / f"{voice.replace('+', '-')}-{manner}.zip", "w") as held:
            for clip, sound in clips.items():
                held.writestr(clip, sound)
        print(voice, manner, len(clips), sum(map(len, clips.values())))


if __name__ == "__main__":
    main()
