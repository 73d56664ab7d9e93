"""Train the network with CTC on a packed corpus (see ``pack.py``), from Whisper's encoder.

    python train.py PACK OUT --whisper ENCODER.npz --seconds-base 540
    python train.py PACK OUT --base OUT/base.npz --seconds-base 530
    python train.py PACK OUT --base OUT/base.npz --seconds-more 75

Three stages, the first by the first two commands, the others by the third:
1. ``OUT/base.npz``: no recording and no speaker of the children's digit strings is learnt from;
2. cross-validation: from the base, a short further training for each of four groups of number speakers on the digit
   strings of the other three; ``OUT/folds.npz`` keeps the log-probabilities of the group left out;
3. ``OUT/network.npz``: the same further training on all digit strings (no figure on them counts for this one).
"""

from __future__ import annotations

import argparse
import concurrent.futures
import csv
import json
import math
import random
import time
from pathlib import Path

import numpy as np
import soundfile
import torch

import export
from augment import mask_features, resample, spoil, uniform
from features import LogMel
from lexicon import INDEX, PHONES, pronunciations
from network import Network

NUMBER_WORDS = set(
    "zero one two three four five six seven eight nine oh ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand".split()
)


class Corpus:
    """All recordings in one int16 tensor on the device, with a row for each."""

    def __init__(self, pack: Path, device: str, limit: int | None) -> None:
        rows = [r for r in csv.DictReader(open(pack / "index.csv")) if (pack / r["shard"]).exists()]
        if limit:
            rows = rows[:: max(1, len(rows) // limit)]
        shards = sorted({r["shard"] for r in rows})

        def read(name: str) -> np.ndarray:
            with soundfile.SoundFile(pack / name) as file:
                return np.concatenate(list(file.blocks(RATE * 10, dtype="int16")))

        RATE = 16_000
        with concurrent.futures.ThreadPoolExecutor(16) as pool:
            audio = dict(zip(shards, pool.map(read, shards)))
        offset = {}
        total = 0
        for name in shards:
            offset[name] = total
            total += len(audio[name])
        self.samples = torch.from_numpy(np.concatenate([audio[name] for name in shards])).to(device)
        self.rows = []
        for r in rows:
            words = r["words"].split()
            choices = [[[INDEX[p] for p in phones] for phones in pronunciations(w)] for w in words]
            if not all(choices):
                continue
            start, stop = offset[r["shard"]] + int(r["start"]), offset[r["shard"]] + int(r["stop"])
            self.rows.append({"start": start, "stop": stop, "group": r["group"], "speaker": r["speaker"],
                              "age": int(r["age"] or 0), "words": words, "phones": choices,
                              "number": bool(set(words) & NUMBER_WORDS)})


class Batches:
    """Draws batches: a group by its share, then a recording; some are two recordings after each other."""

    def __init__(self, corpus: Corpus, rows: list[dict], shares: dict[str, float], seconds: float, seed: int) -> None:
        self.corpus, self.seconds, self.rng = corpus, seconds, random.Random(seed)
        self.groups = {g: [r for r in rows if r["group"] == g] for g in shares}
        self.groups["read-number"] = [r for r in rows if r["group"] == "read" and r["number"]]
        self.groups = {g: rows for g, rows in self.groups.items() if rows and shares.get(g, 0) > 0}
        self.names = list(self.groups)
        self.weights = [shares[g] for g in self.names]

    def one(self) -> list[dict]:
        group = self.rng.choices(self.names, self.weights)[0]
        row = self.rng.choice(self.groups[group])
        if self.rng.random() < 0.12 and group != "read":
            return [row, self.rng.choice(self.groups[group])]
        return [row]

    def batch(self):
        rng, device = self.rng, self.corpus.samples.device
        items, longest = [], 0
        while True:
            item = self.one()
            gaps = [int(rng.expovariate(1 / 0.25) * 16000) for _ in range(len(item) + 1)]
            if rng.random() < 0.3:
                gaps = [g // 8 for g in gaps]
            gaps = [min(g, 24000) for g in gaps]
            length = sum(r["stop"] - r["start"] for r in item) + sum(gaps)
            if length > 16 * 16000:
                continue
            # Lengths repeat, so that plans and memory for them are made once.
            longest = max(longest, -(-length // 8192) * 8192)
            if longest * (len(items) + 1) > self.seconds * 16000 and len(items) > 3:
                break
            items.append((item, gaps, length))
        wave = torch.zeros(len(items), longest, device=device)
        targets, target_lengths, kinds = [], [], []
        for i, (item, gaps, _) in enumerate(items):
            at = gaps[0]
            phones: list[int] = []
            for row, gap in zip(item, gaps[1:]):
                piece = self.corpus.samples[row["start"] : row["stop"]].float()
                if len(item) > 1:
                    piece = piece / (piece.square().mean().sqrt() + 1)
                wave[i, at : at + len(piece)] = piece
                at += len(piece) + gap
                for choices in row["phones"]:
                    phones += rng.choice(choices)
            targets += phones
            target_lengths.append(len(phones))
            row = item[0]
            child = row["group"] in ("numbers", "held", "read") and row["age"] <= 15
            kinds.append(0 if child else 1 if row["age"] else 2)
        lengths = torch.tensor([length for _, _, length in items], device=device)
        wave /= wave.abs().amax(1, keepdim=True) + 1e-6
        return wave, lengths, torch.tensor(targets, device=device), torch.tensor(target_lengths, device=device), torch.tensor(kinds, device=device)


def augmented(mel: LogMel, wave, lengths, kinds, strength: float):
    """Features of a batch after random changes; children keep close to their own voice, adults and machines rise."""
    device, batch = wave.device, wave.shape[0]
    low = torch.tensor([0.88, 0.95, 0.9], device=device)[kinds]
    high = torch.tensor([1.15, 1.4, 1.45], device=device)[kinds]
    factor = low + (high - low) * torch.rand(batch, device=device)
    factor = torch.where(torch.rand(batch, device=device) < 0.3, torch.ones_like(factor), factor)
    wave, lengths = resample(wave, lengths, factor)
    wave = spoil(wave, lengths, wave.roll(1, 0), strength)
    warp = torch.where(torch.rand(batch, device=device) < 0.5, uniform(batch, 0.9, 1.12, device), torch.ones(batch, device=device))
    pace = 1 / factor * uniform(batch, 0.8, 1.25, device)
    pace = torch.where(torch.rand(batch, device=device) < 0.3, torch.ones_like(pace), pace.clamp(0.65, 1.35))
    energies, frames = mel.log_mel(wave / 32768, lengths, warp, pace)
    if torch.rand(()) < 0.8 * strength:
        energies = mask_features(energies, frames)
    return energies, frames


@torch.no_grad()
def phone_errors(network, mel, corpus, rows, seconds: float = 400) -> float:
    """Phone error rate of the best path, in percent, without a language model."""
    network.eval()
    wrong = total = 0
    rows = sorted(rows, key=lambda r: r["stop"] - r["start"])
    at = 0
    while at < len(rows):
        longest = 0
        chunk = []
        while at < len(rows) and (len(chunk) + 1) * max(longest, rows[at]["stop"] - rows[at]["start"]) <= seconds * 16000:
            longest = max(longest, rows[at]["stop"] - rows[at]["start"])
            chunk.append(rows[at])
            at += 1
        lengths = torch.tensor([r["stop"] - r["start"] for r in chunk], device=corpus.samples.device)
        wave = torch.zeros(len(chunk), longest, device=corpus.samples.device)
        for i, r in enumerate(chunk):
            wave[i, : r["stop"] - r["start"]] = corpus.samples[r["start"] : r["stop"]].float()
        features, frames = mel.log_mel(wave / 32768, lengths)
        best, times = network(features, frames)
        best = best.argmax(2).cpu().numpy()
        for r, path, n in zip(chunk, best, times.tolist()):
            path = path[:n]
            found = [p for i, p in enumerate(path) if p and (i == 0 or p != path[i - 1])]
            said = [p for choices in r["phones"] for p in choices[0]]
            row = list(range(len(said) + 1))
            for i, p in enumerate(found, 1):
                diagonal, row[0] = row[0], i
                for j, q in enumerate(said, 1):
                    diagonal, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, diagonal + (p != q))
            wrong += row[-1]
            total += len(said)
    network.train()
    return 100 * wrong / max(total, 1)


@torch.no_grad()
def log_probabilities(network, mel, corpus, rows) -> dict[str, np.ndarray]:
    network.eval()
    out = {}
    for row in rows:
        wave = corpus.samples[row["start"] : row["stop"]].float()[None] / 32768
        features, frames = mel.log_mel(wave, torch.tensor([wave.shape[1]], device=wave.device))
        out[f"{row['speaker']}|{' '.join(row['words'])}"] = network(features, frames)[0][0].cpu().numpy()
    return out


def train(network, mel, corpus, rows, shares, checks, seconds: float, peak: float, args, seed: int) -> list[dict]:
    """AdamW, warm-up and cosine over ``seconds``; leaves the running average of the weights in ``network``."""
    torch.manual_seed(seed)
    device = corpus.samples.device.type
    batches = Batches(corpus, rows, shares, args.batch, seed)
    head = [p for n, p in network.named_parameters() if n.startswith("output")]
    body = [p for n, p in network.named_parameters() if not n.startswith("output")]
    optimiser = torch.optim.AdamW([{"params": body, "scale": 1.0}, {"params": head, "scale": args.head}], lr=peak,
                                  betas=(0.9, 0.98), weight_decay=0.01)
    average = {k: v.detach().clone() for k, v in network.state_dict().items()}
    network.train()
    step, losses, log, began = 0, [], [], time.time()
    while True:
        spent = time.time() - began
        done = step / args.steps if args.steps else spent / seconds
        if done >= 1:
            break
        rate = min(1.0, (done + 1e-3) / 0.06) * 0.5 * (1 + math.cos(math.pi * min(1.0, max(0.0, done - 0.2) / 0.8)))
        for group in optimiser.param_groups:
            group["lr"] = peak * rate * group["scale"] + 1e-7
        wave, lengths, targets, target_lengths, kinds = batches.batch()
        with torch.no_grad():
            features, frames = augmented(mel, wave, lengths, kinds, args.strength)
        with torch.autocast(device, torch.bfloat16, enabled=device == "cuda"):
            scores, times = network(features, frames)
        loss = torch.nn.functional.ctc_loss(scores.transpose(0, 1), targets, times, target_lengths, zero_infinity=True, reduction="sum")
        loss = loss / target_lengths.sum()
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(network.parameters(), 1.0)
        optimiser.step()
        step += 1
        with torch.no_grad():
            torch._foreach_lerp_(list(average.values()), list(network.state_dict().values()), 1 - min(args.keep, 1 - 1 / (step + 1)))
        losses.append(loss.detach())
        if step % args.log == 0:
            report = {"step": step, "seconds": round(spent), "loss": round(torch.stack(losses).mean().item(), 4)}
            losses = []
            if step % (5 * args.log) == 0:
                report |= {k: round(phone_errors(network, mel, corpus, v), 2) for k, v in checks.items() if v}
            print(json.dumps(report), flush=True)
            log.append(report)
    network.load_state_dict(average)
    report = {"step": step, "average": {k: round(phone_errors(network, mel, corpus, v), 2) for k, v in checks.items() if v}}
    print(json.dumps(report), flush=True)
    return [*log, report]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("pack", type=Path)
    parser.add_argument("out", type=Path)
    start = parser.add_mutually_exclusive_group(required=True)
    start.add_argument("--whisper", type=Path, help="encoder to start the first stage from")
    start.add_argument("--base", type=Path, help="what the first stage wrote, to do the others")
    parser.add_argument("--seconds-base", type=float, default=0, help="of the first stage; with --base it goes on")
    parser.add_argument("--seconds-more", type=float, default=75)
    parser.add_argument("--folds", type=int, default=4)
    parser.add_argument("--steps", type=int, help="end each stage after so many steps instead (a trial run)")
    parser.add_argument("--peak", type=float, default=4e-4)
    parser.add_argument("--peak-again", type=float, default=2.5e-4, help="of a first stage that goes on")
    parser.add_argument("--peak-more", type=float, default=1e-4)
    parser.add_argument("--head", type=float, default=4.0, help="the phone layer's rate over the others'")
    parser.add_argument("--strength", type=float, default=1.0)
    parser.add_argument("--shares", default="read=0.40,read-number=0.07,s-piper=0.18,s-flite=0.1,s-fest=0.09,s-espeak=0.16")
    parser.add_argument("--share-numbers", type=float, default=0.25, help="of the digit strings in stages 2 and 3")
    parser.add_argument("--batch", type=float, default=250, help="seconds of audio")
    parser.add_argument("--dropout", type=float, default=0.1)
    parser.add_argument("--keep", type=float, default=0.998, help="of the running average of the weights, each step")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--limit", type=int, help="use only so many recordings (a trial run)")
    parser.add_argument("--log", type=int, default=200)
    args = parser.parse_args()
    began = time.time()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    if device == "cuda":
        # Asked for once, memory is handed out of one block; asked for bit by bit, each new batch size costs time.
        torch.empty(40 << 30, dtype=torch.uint8, device=device)
    corpus = Corpus(args.pack, device, args.limit)
    numbers = [r for r in corpus.rows if r["group"] == "numbers"]
    speakers = sorted({r["speaker"] for r in numbers})
    dev_speakers = set(sorted({r["speaker"] for r in corpus.rows if r["group"] == "read"})[::20])
    rows = [r for r in corpus.rows if r["group"] not in ("numbers", "held", "s-dev")
            and not (r["group"] == "read" and r["speaker"] in dev_speakers)]
    checks = {
        "read-dev": [r for r in corpus.rows if r["group"] == "read" and r["speaker"] in dev_speakers],
        "numbers": numbers,
    }
    print(f"read {len(corpus.rows)} recordings, {len(rows)} to learn from, {corpus.samples.numel() / 16000 / 3600:.2f} h, "
          f"{time.time() - began:.1f} s", flush=True)
    shares = {k: float(v) for k, v in (s.split("=") for s in args.shares.split(","))}
    mel = LogMel().to(device)
    network = Network(len(PHONES), dropout=args.dropout).to(device)
    args.out.mkdir(parents=True, exist_ok=True)
    log = {"arguments": {k: str(v) for k, v in vars(args).items()}}
    if args.whisper:
        network.load_whisper(args.whisper)
        network.to(device)
        log["base"] = train(network, mel, corpus, rows, shares, checks, args.seconds_base, args.peak, args, args.seed)
        export.write(network.state_dict(), args.out / "base.npz")
        (args.out / "base.json").write_text(json.dumps(log, indent=1))
        return
    base = {k: v.to(device) for k, v in export.read(args.base).items()}
    if args.seconds_base:
        network.load_state_dict(base)
        log["base"] = train(network, mel, corpus, rows, shares, checks, args.seconds_base, args.peak_again, args, args.seed + 1)
        export.write(network.state_dict(), args.out / "base.npz")
        (args.out / "base.json").write_text(json.dumps(log, indent=1))
        return
    more = shares | {"numbers": args.share_numbers}
    kept: dict[str, np.ndarray] = {}
    for fold in range(args.folds):
        group = set(speakers[fold :: args.folds])
        out_of_fold = [r for r in numbers if r["speaker"] in group]
        network.load_state_dict(base)
        log[f"fold{fold}"] = train(network, mel, corpus, rows + [r for r in numbers if r["speaker"] not in group], more,
                                   {"numbers": out_of_fold}, args.seconds_more, args.peak_more, args, args.seed)
        kept |= log_probabilities(network, mel, corpus, out_of_fold)
        np.savez_compressed(args.out / "folds.npz", **{k: v.astype(np.float16) for k, v in kept.items()})
    network.load_state_dict(base)
    log["all"] = train(network, mel, corpus, rows + numbers, more, {"read-dev": checks["read-dev"]}, args.seconds_more,
                       args.peak_more, args, args.seed)
    export.write(network.state_dict(), args.out / "network.npz")
    (args.out / "log.json").write_text(json.dumps(log, indent=1))


if __name__ == "__main__":
    main()
