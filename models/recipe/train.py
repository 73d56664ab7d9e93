"""Train the network with CTC on a packed corpus (see ``pack.py``), from Whisper's encoder.

    python train.py PACK OUT --whisper ENCODER.npz --jobs base:1 --seconds 300          first stage, seed 1
    python train.py PACK OUT --whisper ENCODER.npz --start OUT/base-*.pt --jobs 0:1 0:2 all:1 --seconds 150

The first stage learns from nothing of the speakers who read numbers, neither their digits nor their sentences; all networks
of the second stage start from its weights (the average, where several are named).  In the second stage ``K:SEED`` learns
from all number speakers but those of fold K (0 to ``--folds`` - 1), of whom ``OUT/fold-K-SEED.npz`` keeps the
log-probabilities at SPEEDS; ``all:SEED`` learns from everybody, and no figure of it on these speakers counts.
Jobs of one call run one after the other, each for so many seconds.  ``soup.py`` averages the seeds.
"""

from __future__ import annotations

import argparse
import concurrent.futures
import csv
import functools
import json
import math
import random
import sys
import time
from pathlib import Path

import export
import numpy as np
import soundfile
import torch
from augment import late_and_early, mask_features, resample, rhythm, spoil, uniform
from features import RATE, SHIFT, LogMel
from language import AROUND
from lexicon import INDEX, PHONES, pronunciations
from network import Network, from_whisper
from rivals import SPOKEN, rivals
from splice import pieces, spliced
from torch.nn.functional import ctc_loss

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from sayit.hearing.number_listener import slower

BLOCK = 16_384  # samples; recordings of a batch are padded to one of EDGES blocks, so that shapes repeat
EDGES = (2, 3, 4, 5, 6, 8, 10, 12, 16)
SLOWEST = 0.78  # of the factors by which recordings are played
FADE = 64  # samples at both ends of a piece
SPEEDS = (1.0, 0.92, 0.84, 0.78)  # at which left-out recordings are heard


@functools.cache
def phones(word: str) -> list[list[int]]:
    return [[INDEX[p] for p in found] for found in pronunciations(word)]


class Corpus:
    """All recordings in one int16 tensor on the device, with a row for each."""

    def __init__(self, pack: Path, device: str, limit: int | None, groups: set[str] | None = None) -> None:
        with (pack / "index.csv").open() as index:
            rows = [r for r in csv.DictReader(index) if (pack / r["shard"]).exists()]
        if groups:
            rows = [r for r in rows if r["group"] in groups]
        if limit:
            rows = rows[:: max(1, len(rows) // limit)]
        shards = sorted({r["shard"] for r in rows})

        def read(name: str) -> np.ndarray:
            with soundfile.SoundFile(pack / name) as file:
                return np.concatenate(list(file.blocks(RATE * 10, dtype="int16")))

        with concurrent.futures.ThreadPoolExecutor(8) as pool:
            audio = dict(zip(shards, pool.map(read, shards), strict=False))
        offset = {}
        total = 0
        for name in shards:
            offset[name] = total
            total += len(audio[name])
        self.samples = torch.from_numpy(np.concatenate([audio[name] for name in shards])).to(device)
        self.rows = []
        for r in rows:
            words = r["words"].split()
            if not words or not all(phones(w) for w in words):
                continue
            start, stop = offset[r["shard"]] + int(r["start"]), offset[r["shard"]] + int(r["stop"])
            self.rows.append(
                {
                    "start": start,
                    "stop": stop,
                    "group": r["group"],
                    "speaker": r["speaker"],
                    "age": int(r["age"] or 0),
                    "words": words,
                    "number": bool(set(words) & set(SPOKEN))
                    and not set(words) - set(SPOKEN) - set(AROUND) - {"and", "a"},
                }
            )


class Batches:
    """Draws batches: a group by its share, then a recording; some are two recordings after each other.

    A batch holds recordings of about one length, so that its shape is one of few."""

    def __init__(
        self, corpus: Corpus, rows: list[dict], shares: dict[str, float], cuts: dict[str, list[dict]], args, seed: int
    ) -> None:
        self.cuts = cuts
        self.corpus, self.args, self.rng = corpus, args, random.Random(seed)
        self.groups: dict[str, list[dict]] = {g: [] for g in shares}
        for row in rows:
            if row["group"] in self.groups:
                self.groups[row["group"]].append(row)
            if row["group"].startswith("read") and set(row["words"]) & set(SPOKEN):
                self.groups["read-number"].append(row)
        if cuts:
            self.groups["splice"] = [piece for own in cuts.values() for piece in own]
        self.groups = {g: found for g, found in self.groups.items() if found and shares[g] > 0}
        self.names = list(self.groups)
        self.weights = [shares[g] for g in self.names]
        self.waiting: dict[int, list] = {edge: [] for edge in EDGES}

    def one(self) -> tuple[list[dict], list[int], int]:
        rng = self.rng
        group = rng.choices(self.names, self.weights)[0]
        if group == "splice":
            item, gaps = spliced(self.cuts, rng)
            return item, gaps, sum(r["stop"] - r["start"] for r in item) + sum(gaps)
        item = [rng.choice(self.groups[group])]
        if rng.random() < 0.12 and not group.startswith("read"):
            item.append(rng.choice(self.groups[group]))
        gaps = [min(int(rng.expovariate(1 / 0.25) * RATE), 24_000) for _ in range(len(item) + 1)]
        if rng.random() < 0.3:
            gaps = [g // 8 for g in gaps]
        return item, gaps, sum(r["stop"] - r["start"] for r in item) + sum(gaps)

    def next_items(self) -> tuple[int, list]:
        while True:
            found = self.one()
            edge = next((e for e in EDGES if found[2] <= e * BLOCK), None)
            if edge is None:
                continue
            self.waiting[edge].append(found)
            if len(self.waiting[edge]) >= int(self.args.batch * RATE / (edge * BLOCK)):
                items, self.waiting[edge] = self.waiting[edge], []
                return edge, items

    def batch(self) -> dict:
        rng, device = self.rng, self.corpus.samples.device
        edge, items = self.next_items()
        most = max(len(item) for item, _, _ in items)
        spans = np.zeros((most, 3, len(items)), np.int64)  # of each piece: where from, where to, how long
        targets, kinds, rows, ends = [], [], [], []
        others: list[list[int]] = []
        for i, (item, gaps, _) in enumerate(items):
            at, end, said = gaps[0], 0, []
            for k, (row, gap) in enumerate(zip(item, gaps[1:], strict=False)):
                length = row["stop"] - row["start"]
                spans[k, :, i] = row["start"], at, length
                end = at + length
                at = end + gap
                said += [p for word in row["words"] for p in rng.choice(phones(word))]
            targets.append(said)
            ends.append(end)
            row = item[0]
            kinds.append(2 if not row["age"] else 0 if row["age"] <= 15 else 1)
            words = [word for r in item for word in r["words"]]
            if self.args.rivals and row["number"] and (len(item) == 1 or row["group"] == "splice"):
                rows.append(i)
                others += [
                    [p for word in other for p in rng.choice(phones(word))]
                    for other in rivals(words, self.args.rivals, rng)
                ]
        spans = torch.from_numpy(spans).to(device)
        place = torch.arange(edge * BLOCK, device=device)[None]
        wave = torch.zeros(len(items), edge * BLOCK, device=device)
        for start, to, length in spans:
            inside = (place >= to[:, None]) & (place < (to + length)[:, None])
            index = (place - to[:, None] + start[:, None]).clamp(0, len(self.corpus.samples) - 1)
            fade = torch.minimum(place - to[:, None], (to + length)[:, None] - 1 - place).clamp(0, FADE) / FADE
            piece = late_and_early(self.corpus.samples[index].float() * inside * fade, 0.12)
            wave += piece / ((piece.square().sum(1) / length.clamp(min=1)).sqrt()[:, None] + 1)
        wave /= wave.abs().amax(1, keepdim=True) + 1e-6
        return {
            "wave": wave,
            "lengths": torch.tensor([n for _, _, n in items], device=device),
            "ends": torch.tensor(ends, device=device),
            "kinds": torch.tensor(kinds, device=device),
            "short": torch.tensor([sum(len(r["words"]) for r in item) <= 2 for item, _, _ in items], device=device),
            "targets": targets,
            "rivals": (rows, others),
        }


def padded(targets: list[list[int]], device) -> tuple[torch.Tensor, torch.Tensor]:
    """Targets as a matrix of phones, and their lengths."""
    lengths = torch.tensor([len(t) for t in targets])
    out = torch.zeros(len(targets), int(lengths.max()), dtype=torch.long)
    for i, target in enumerate(targets):
        out[i, : len(target)] = torch.tensor(target)
    return out.to(device), lengths.to(device)


def augmented(mel: LogMel, batch: dict, strength: float):
    """Features of a batch after random changes; children keep close to their own voice, adults and machines rise."""
    wave, lengths, kinds, ends = (batch[key] for key in ("wave", "lengths", "kinds", "ends"))
    short, device, batch = batch["short"], wave.device, wave.shape[0]
    low = torch.tensor([SLOWEST, 0.88, 0.8], device=device)[kinds]
    high = torch.tensor([1.12, 1.4, 1.45], device=device)[kinds]
    factor = low + (high - low) * torch.rand(batch, device=device)
    factor = torch.where(torch.rand(batch, device=device) < 0.3, torch.ones_like(factor), factor)
    wave, lengths = resample(wave, lengths, factor, SLOWEST)
    wave = spoil(wave, lengths, wave.roll(1, 0), strength)
    warp = torch.where(
        torch.rand(batch, device=device) < 0.5, uniform(batch, 0.9, 1.12, device), torch.ones(batch, device=device)
    )
    kept = torch.where(torch.rand(batch, device=device) < 0.5, 1 / factor, torch.ones_like(factor))
    pace = kept * uniform(batch, 0.8, 1.25, device)
    pace = torch.where(torch.rand(batch, device=device) < 0.3, torch.ones_like(pace), pace.clamp(0.65, 1.35))
    # A digit alone may be over in a quarter of a second.
    pace = torch.where(short & (torch.rand(batch, device=device) < 0.5), pace * uniform(batch, 1.0, 1.7, device), pace)
    hop = pace[:, None] * rhythm(-(-wave.shape[1] // SHIFT), ends / factor / SHIFT)
    energies, frames = mel.log_mel(wave / 32768, lengths, warp, hop.clamp(0.3, 2.2))
    if random.random() < 0.8 * strength:
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
        while (
            at < len(rows) and (len(chunk) + 1) * max(longest, rows[at]["stop"] - rows[at]["start"]) <= seconds * 16000
        ):
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
        for r, whole, n in zip(chunk, best, times.tolist(), strict=False):
            path = whole[:n]
            found = [p for i, p in enumerate(path) if p and (i == 0 or p != path[i - 1])]
            said = [p for word in r["words"] for p in phones(word)[0]]
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
def log_probabilities(network, mel, corpus, rows, speeds=SPEEDS) -> dict[str, np.ndarray]:
    """Of each recording at each speed, under ``speed|group|speaker|words``."""
    network.eval()
    out = {}
    for row in rows:
        samples = corpus.samples[row["start"] : row["stop"]].float().cpu().numpy() / 32768
        for speed in speeds:
            wave = torch.from_numpy(slower(samples, speed))[None].to(corpus.samples.device)
            features, frames = mel.log_mel(wave, torch.tensor([wave.shape[1]], device=wave.device))
            scores = network(features, frames)[0][0].cpu().numpy().astype(np.float16)
            out[f"{speed}|{row['group']}|{row['speaker']}|{' '.join(row['words'])}"] = scores
    return out


def cut(network, mel, corpus, rows) -> dict[str, list[dict]]:
    """The words of digit strings, by speaker, as rows of their own."""
    found: dict[str, list[dict]] = {}
    for row, scores in zip(rows, log_probabilities(network, mel, corpus, rows, (1.0,)).values(), strict=True):
        samples = corpus.samples[row["start"] : row["stop"]].cpu().numpy()
        said = [phones(word)[0] for word in row["words"]]
        for word, (start, stop) in zip(row["words"], pieces(samples, scores.astype(np.float32), said), strict=True):
            if 0.12 * RATE < stop - start < 1.5 * RATE:
                place = {"start": row["start"] + start, "stop": row["start"] + stop, "words": [word], "group": "splice"}
                found.setdefault(row["speaker"], []).append(row | place)
    return found


def loss_of(network, features, frames, batch: dict, args) -> torch.Tensor:
    """CTC's loss (Graves et al. 2006), and the doubt between number phrases and their rivals; nats a phone."""
    device = features.device
    with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
        scores, times = network(features, frames)
    scores = scores.transpose(0, 1)
    targets, lengths = padded(batch["targets"], device)
    each = ctc_loss(scores, targets, times, lengths, zero_infinity=True, reduction="none")
    loss = each.sum()
    rows, others = batch["rivals"]
    if rows:
        rows = torch.tensor(rows, device=device)
        again = rows.repeat_interleave(args.rivals)
        targets, rival_lengths = padded(others, device)
        other = ctc_loss(scores[:, again], targets, times[again], rival_lengths, zero_infinity=True, reduction="none")
        both = torch.cat([each[rows][:, None], other.view(-1, args.rivals)], 1)
        # A phrase too long for its recording has no path at all, which comes out as zero: its chance is nothing.
        both = torch.where(both == 0, 1e4, both)
        doubt = -(-both).log_softmax(1)[:, 0]
        loss = loss + args.rival_weight * (doubt * (each[rows] > 0)).sum()
    return loss / lengths.sum()


def train(network, mel, corpus, rows, shares, cuts, checks, args, seed: int) -> list[dict]:
    """AdamW, warm-up and cosine over ``args.seconds``; leaves the running average of the weights in ``network``."""
    torch.manual_seed(seed)
    random.seed(seed)
    batches = Batches(corpus, rows, shares, cuts, args, seed)
    head = [p for n, p in network.named_parameters() if n.startswith("output")]
    body = [p for n, p in network.named_parameters() if not n.startswith("output")]
    fused = {"fused": True} if corpus.samples.is_cuda else {}
    optimiser = torch.optim.AdamW(
        [{"params": body, "scale": 1.0}, {"params": head, "scale": args.head}],
        lr=args.peak,
        betas=(0.9, 0.98),
        weight_decay=args.decay,
        **fused,
    )
    average = {k: v.detach().clone() for k, v in network.state_dict().items()}
    network.train()
    step, losses, log, began = 0, [], [], time.time()
    with concurrent.futures.ThreadPoolExecutor(1) as pool:
        following = pool.submit(batches.batch)
        while True:
            done = step / args.steps if args.steps else (time.time() - began) / args.seconds
            if done >= 1:
                break
            rate = min(1.0, (done + 1e-3) / 0.06) * 0.5 * (1 + math.cos(math.pi * min(1.0, max(0.0, done - 0.2) / 0.8)))
            for group in optimiser.param_groups:
                group["lr"] = args.peak * rate * group["scale"] + 1e-7
            batch = following.result()
            following = pool.submit(batches.batch)
            with torch.no_grad():
                features, frames = augmented(mel, batch, args.strength)
            loss = loss_of(network, features, frames, batch, args)
            optimiser.zero_grad(set_to_none=True)
            loss.backward()
            torch.nn.utils.clip_grad_norm_(network.parameters(), 1.0)
            optimiser.step()
            step += 1
            with torch.no_grad():
                torch._foreach_lerp_(
                    list(average.values()), list(network.state_dict().values()), 1 - min(args.keep, 1 - 1 / (step + 1))
                )
            losses.append(loss.detach())
            if step % args.log == 0:
                report = {
                    "step": step,
                    "seconds": round(time.time() - began),
                    "loss": round(torch.stack(losses).mean().item(), 4),
                }
                losses = []
                if step % (5 * args.log) == 0:
                    report |= {k: round(phone_errors(network, mel, corpus, v), 2) for k, v in checks.items() if v}
                print(json.dumps(report), flush=True)
                log.append(report)
    network.load_state_dict(average)
    report = {
        "step": step,
        "average": {k: round(phone_errors(network, mel, corpus, v), 2) for k, v in checks.items() if v},
    }
    print(json.dumps(report), flush=True)
    return [*log, report]


SHARES = (
    "read-child=0.20,read=0.13,read-number=0.04,held=0.15,numbers=0.05,splice=0.12,"
    "s-kokoro=0.22,s-piper=0.06,s-flite=0.05,s-fest=0.04,s-espeak=0.08"
)


def learn(name: str, seed: int, network, mel, corpus, args) -> None:
    """One job: ``base``, a fold's number, or ``all``."""
    speakers = sorted({r["speaker"] for r in corpus.rows if r["group"] == "numbers"})
    if args.speakers:
        speakers = sorted(set(speakers) & set(args.speakers.read_text().split()))
    apart = set(speakers)
    if name != "base":
        apart = set() if name == "all" else set(speakers[int(name) :: args.folds])
    dev_speakers = set(sorted({r["speaker"] for r in corpus.rows if r["group"].startswith("read")})[::20])
    left_out = [r for r in corpus.rows if r["speaker"] in apart]
    rows = [r for r in corpus.rows if r["speaker"] not in apart | dev_speakers and r["group"] != "s-dev"]
    checks = {
        "read-dev": [r for r in corpus.rows if r["group"].startswith("read") and r["speaker"] in dev_speakers],
        "held": [r for r in left_out if r["group"] == "held"],
        "numbers": [r for r in left_out if r["group"] == "numbers"],
    }
    shares = {k: float(v) for k, v in (s.split("=") for s in args.shares.split(","))}
    cuts = cut(network, mel, corpus, [r for r in rows if r["group"] == "numbers"]) if shares.get("splice") else {}
    print(name, seed, len(rows), "to learn from", sum(map(len, cuts.values())), "pieces", flush=True)
    log = {"arguments": {k: str(v) for k, v in vars(args).items()}, "log": []}
    log["log"] = train(network, mel, corpus, rows, shares, cuts, checks, args, seed)
    torch.save({k: v.half() for k, v in network.state_dict().items()}, args.out / f"{name}-{seed}.pt")
    (args.out / f"{name}-{seed}.json").write_text(json.dumps(log, indent=1))
    if name != "base":
        finish(name, str(seed), network, mel, corpus, left_out, args.out)


def finish(name: str, seed: str, network, mel, corpus, left_out, out: Path) -> None:
    """Round the weights as the finished network has them, and hear what was left out with them."""
    path = out / f"network-{name}-{seed}.npz"
    export.write(network.state_dict(), path)
    if left_out:
        network.load_state_dict(export.read(path))
        np.savez_compressed(out / f"fold-{name}-{seed}.npz", **log_probabilities(network, mel, corpus, left_out))


def averaged(paths: list[Path]) -> dict[str, torch.Tensor]:
    """The mean of the weights in files of :func:`learn`: sister networks from one start agree enough for that."""
    states = [export.read(p) if p.suffix == ".npz" else torch.load(p, map_location="cpu") for p in paths]
    return {k: sum(s[k].float() for s in states) / len(states) for k in states[0]}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("pack", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--whisper", type=Path, required=True, help="encoder to start from, which also says the size")
    parser.add_argument("--start", type=Path, nargs="*", default=[], help="weights to go on from")
    parser.add_argument("--jobs", nargs="+", default=["base:1"], help="NAME:SEED, see above")
    parser.add_argument("--folds", type=int, default=6)
    parser.add_argument(
        "--speakers", type=Path, help="file with the speakers whom the start never heard; folds of these"
    )
    parser.add_argument("--seconds", type=float, default=150)
    parser.add_argument("--steps", type=int, help="end after so many steps instead (a trial run)")
    parser.add_argument("--peak", type=float, default=3e-4)
    parser.add_argument("--decay", type=float, default=0.01)
    parser.add_argument("--head", type=float, default=4.0, help="the phone layer's rate over the others'")
    parser.add_argument("--strength", type=float, default=1.0)
    parser.add_argument("--shares", default=SHARES)
    parser.add_argument("--rivals", type=int, default=8, help="phrases that each number phrase is told apart from")
    parser.add_argument("--rival-weight", type=float, default=1.0)
    parser.add_argument("--batch", type=float, default=250, help="seconds of audio")
    parser.add_argument("--drop", type=float, default=0.15)
    parser.add_argument("--layer-drop", type=float, default=0.06, help="share of layers that a step leaves out")
    parser.add_argument("--keep", type=float, default=0.998, help="of the running average of the weights, each step")
    parser.add_argument("--limit", type=int, help="use only so many recordings (a trial run)")
    parser.add_argument("--log", type=int, default=200)
    args = parser.parse_args()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.set_num_threads(2)
    corpus = Corpus(args.pack, device, args.limit)
    print(f"{len(corpus.rows)} recordings, {corpus.samples.numel() / RATE / 3600:.2f} h", flush=True)
    mel = LogMel().to(device)
    args.out.mkdir(parents=True, exist_ok=True)
    for job in args.jobs:
        name, seed = job.split(":")
        network: Network = from_whisper(args.whisper, len(PHONES), args.drop, args.layer_drop).to(device)
        if args.start:
            network.load_state_dict(averaged(args.start))
        learn(name, int(seed), network, mel, corpus, args)


if __name__ == "__main__":
    main()
