"""The graph of all that may be said, and the beam search that finds phrases in it.

``models/recipe/graph.py`` writes it. Every arc takes one frame of the network's output. CTC (Graves et al. 2006) gives every
place one arc for a blank and one that stays in its phone, both without cost.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

__all__ = ["PhraseGraph"]

_NOTHING = "[unk]"
_AROUND = frozenset({"[other]", "um", "i", "it's"})
"""Speech around a number or within a correction; "no", "mean" and "wait" stay, since the number after them counts."""
_SLACK = 0.5
"""Nats that the search first goes further down than in the frame before."""


class PhraseGraph:
    """Arcs sorted by their place, the blank's first, then by cost, so that those that are too dear can be passed over."""

    def __init__(self, folder: Path) -> None:
        """Load it (about 0.1 s); OSError, ValueError, KeyError or IndexError where the files are damaged."""
        with (folder / "graph.npz").open("rb") as opened, np.load(opened) as file:
            graph = {name: file[name] for name in file.files}
        self._words = [line.split()[0] for line in (folder / "words.txt").read_text().splitlines()]
        self._first, self._final = graph["first"], graph["final"]
        source = np.repeat(np.arange(len(self._first)), graph["degree"])
        order = np.lexsort((graph["cost"], graph["phone"] != 0, source))
        self._target, self._phone, self._word, self._cost = (
            graph[name][order] for name in ("target", "phone", "word", "cost")
        )
        free, blank, stays = self._cost == 0, self._phone == 0, self._target == source
        every = np.arange(len(self._first))
        if not (np.array_equal(source[blank & free], every) and np.array_equal(source[stays & free], every)):
            raise ValueError("places without a blank or a phone that stays")
        self._own = self._phone[stays]
        # Row k counts the arcs of each place that cost at most k - 1 nats, and the blank's.
        dearest = int(np.ceil(self._cost.max()))
        self._within = np.stack(
            [np.add.reduceat((self._cost <= k) | blank, self._first, dtype=np.int64) for k in range(-1, dearest + 1)]
        )

    def search(self, scores: np.ndarray, beam: float, most: int) -> dict[str, float]:
        """Phrases with log scores from phone log-probabilities; ``""`` stands for anything that is no number.

        A token is a place in the graph and the words so far; tokens that meet are added, as connectionist temporal
        classification sums over alignments. Those more than ``beam`` nats below the best are dropped, and all but the
        ``most`` best.
        """
        histories: list[tuple[int, int]] = [(-1, 0)]
        ids: dict[int, int] = {}
        state, history, score = np.zeros(1, np.int64), np.zeros(1, np.int64), np.zeros(1)
        depth = beam
        for row in scores:
            token, arc, reached, depth = self._step(row, state, score, depth, beam, most)
            past = history[token]
            spoken = np.flatnonzero(self._word[arc])
            keys = past[spoken] * len(self._words) + self._word[arc[spoken]]
            for i, key in zip(spoken.tolist(), keys.tolist(), strict=True):
                if key not in ids:
                    ids[key] = len(histories)
                    histories.append(divmod(key, len(self._words)))
                past[i] = ids[key]
            places = self._target[arc] * np.int64(len(histories)) + past
            order = np.argsort(places, kind="stable")
            places, reached = places[order], reached[order]
            fresh = np.flatnonzero(np.r_[True, places[1:] != places[:-1]])
            state, history = np.divmod(places[fresh], len(histories))
            score = np.logaddexp.reduceat(reached, fresh)
        return self._phrases(history, score - self._final[state], histories)

    def _step(
        self, row: np.ndarray, state: np.ndarray, score: np.ndarray, depth: float, beam: float, most: int
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
        """Tokens that go on, their arcs, their scores after this frame, and how deep to look first in the next.

        Nothing is lost by looking at ``depth`` first: where fewer than ``most`` are found so, all of the beam is looked at.
        """
        least_best = max(score.max() + row[0], (score + row[self._own[state]]).max())
        begin, gain = self._first[state], row[1:].max()
        while True:
            # What an arc may cost at most, in whole nats, if its phone is the likeliest.
            spare = np.ceil(score + (gain - least_best + depth))
            counts = self._within[np.clip(spare, -1, len(self._within) - 2).astype(np.int64) + 1, state]
            ends = np.cumsum(counts)
            token = np.repeat(np.arange(len(state)), counts)
            arc = np.arange(ends[-1]) + np.repeat(begin - ends + counts, counts)
            reached = score[token] + row[self._phone[arc]] - self._cost[arc]
            keep = np.flatnonzero(reached > max(reached.max() - beam, least_best - depth))
            if depth >= beam or len(keep) >= most:
                break
            depth = beam
        depth = beam
        if len(keep) > most:
            least = np.partition(reached[keep], -most)[-most]
            keep = keep[reached[keep] >= least]
            depth = min(beam, float(least_best - least) + _SLACK)
        return token[keep], arc[keep], reached[keep], depth

    def _phrases(self, history: np.ndarray, final: np.ndarray, histories: list[tuple[int, int]]) -> dict[str, float]:
        found: dict[str, float] = {}
        for end in set(history[np.isfinite(final)].tolist()):
            total = float(np.logaddexp.reduce(final[(history == end) & np.isfinite(final)]))
            words: list[str] = []
            at = end
            while at > 0:
                at, last = histories[at]
                words.insert(0, self._words[last])
            text = "" if _NOTHING in words else " ".join(w for w in words if w not in _AROUND)
            found[text] = float(np.logaddexp(found[text], total)) if text in found else total
        return found
