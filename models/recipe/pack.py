"""Pack many short recordings into a few Ogg Opus files (the digit strings: FLAC), small enough to carry to a training machine.

    python pack.py OUT --children SHARED/children [--synthetic DIR:KBITS ...]

Writes ``NAME-NN.ogg`` or ``.flac`` and ``index.csv`` (shard, start, stop in samples at 16 kHz, group, speaker, age, words).
Groups: ``read-child`` and ``read`` (read-speech of speakers who read no numbers, up to 15 years of age and older),
``held`` (read-speech of the number speakers), ``numbers`` (the children's digit strings), and one for each synthetic folder.
"""

from __future__ import annotations

import argparse
import csv
from pathlib import Path

import numpy as np
import soundfile

RATE = 16_000
SHARD = 600 * RATE
GAP = np.zeros(RATE // 10, "float32")


def level(kbits: float) -> float:
    """libsndfile's compression level of an Opus bit rate (mono): 0 is 256 kbit/s, 1 is 6 kbit/s."""
    return 1.0 - (kbits - 6) / 250


class Packer:
    def __init__(self, out: Path, plain: bool) -> None:
        self.out, self.rows, self.plain = out, [], plain
        out.mkdir(parents=True, exist_ok=True)

    def add(self, name: str, kbits: float, items) -> None:
        """Without ``kbits`` nothing of the sound is lost."""
        parts, length, shard = [], 0, 0
        kind = "ogg" if kbits else "flac"

        def flush() -> None:
            nonlocal parts, length, shard
            if parts:
                how = {"subtype": "OPUS", "compression_level": level(kbits)} if kbits else {"subtype": "PCM_16"}
                with soundfile.SoundFile(self.out / f"{name}-{shard:02d}.{kind}", "w", RATE, 1, **how) as file:
                    for part in parts:  # one long write overflows libsndfile's stack
                        file.write(part)
            parts, length, shard = [], 0, shard + 1

        for path, speaker, age, words in items:
            if self.plain:
                frames = soundfile.info(path).frames
                self.rows.append([path.resolve(), 0, frames, name, speaker, age, words])
                continue
            samples, rate = soundfile.read(path, dtype="float32")
            assert rate == RATE, path
            self.rows.append([f"{name}-{shard:02d}.{kind}", length, length + len(samples), name, speaker, age, words])
            parts += [samples, GAP]
            length += len(samples) + len(GAP)
            if length > SHARD:
                flush()
        flush()

    def finish(self) -> None:
        with (self.out / "index.csv").open("w", newline="") as file:
            writer = csv.writer(file)
            writer.writerow("shard start stop group speaker age words".split())
            writer.writerows(self.rows)


def add_children(packer: Packer, folder: Path, kbits: float) -> None:
    with (folder / "index.csv").open() as index:
        rows = list(csv.DictReader(index))
    number_speakers = {r["speaker"] for r in rows if r["file"].startswith("numbers/")}

    def these(keep):
        return [(folder / r["file"], r["speaker"], r["age"], r["words"]) for r in rows if keep(r)]

    packer.add("numbers", 24, these(lambda r: r["file"].startswith("numbers/")))
    packer.add("held", kbits, these(lambda r: r["file"].startswith("read") and r["speaker"] in number_speakers))

    def others(r) -> bool:
        return r["file"].startswith("read") and r["speaker"] not in number_speakers

    packer.add("read-child", kbits, these(lambda r: others(r) and int(r["age"]) <= 15))
    packer.add("read", kbits - 4, these(lambda r: others(r) and int(r["age"]) > 15))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--children", type=Path)
    parser.add_argument("--kbits", type=float, default=14, help="of children; adults get fewer")
    parser.add_argument("--as-they-are", action="store_true", help="only list the files, where training happens here")
    parser.add_argument("--synthetic", nargs="*", default=[], help="FOLDER:KBITS")
    args = parser.parse_args()
    packer = Packer(args.out, args.as_they_are)
    if args.children:
        add_children(packer, args.children, args.kbits)
    for entry in args.synthetic:
        folder, kbits = entry.rsplit(":", 1)
        with (Path(folder) / "index.csv").open() as index:
            listed = list(csv.DictReader(index))
        packer.add(
            Path(folder).name, float(kbits), [(Path(folder) / r["file"], r["speaker"], "", r["words"]) for r in listed]
        )
    packer.finish()


if __name__ == "__main__":
    main()
