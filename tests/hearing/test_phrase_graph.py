"""The search passes over arcs that are too dear; here it is held to one that looks at all of them."""

from collections import defaultdict
from pathlib import Path

import numpy as np
import pytest

from sayit.hearing.phrase_graph import PhraseGraph

FOLDER = Path(__file__).parents[2] / "models" / "numbers-en"
OUT_OF_FOLD = FOLDER.parent / "recipe" / "out-of-fold.npz"


@pytest.fixture(scope="module")
def graph():
    return PhraseGraph(FOLDER)


def plainly(scores, beam, most):
    """The same by the book, for one phrase of words a token: every arc of every token, then the beam."""
    with np.load(FOLDER / "graph.npz") as file:
        first, degree, final, target, phone, word, cost = (
            file[name] for name in ("first", "degree", "final", "target", "phone", "word", "cost")
        )
    names = [line.split()[0] for line in (FOLDER / "words.txt").read_text().splitlines()]
    tokens = {(0, ()): 0.0}
    for row in scores:
        reached = []
        for (state, said), score in tokens.items():
            arcs = slice(first[state], first[state] + degree[state])
            totals = score + row[phone[arcs]] - cost[arcs]
            reached += zip(
                totals.tolist(), target[arcs].tolist(), word[arcs].tolist(), [said] * degree[state], strict=True
            )
        bound = max(total for total, *_ in reached) - beam
        if sum(total > bound for total, *_ in reached) > most:
            bound = sorted(total for total, *_ in reached)[-most] - 1e-12
        tokens = defaultdict(lambda: -np.inf)
        for total, state, spoken, said in reached:
            if total > bound:
                place = (state, (*said, names[spoken]) if spoken else said)
                tokens[place] = np.logaddexp(tokens[place], total)
    found = defaultdict(lambda: -np.inf)
    for (state, said), score in tokens.items():
        if np.isfinite(final[state]):
            text = "" if "[unk]" in said else " ".join(w for w in said if w not in {"[other]", "um", "i", "it's"})
            found[text] = np.logaddexp(found[text], score - final[state])
    return found


def rows():
    """A child's answer (speechocean762, Zhang et al. 2021, CC BY 4.0) and what noise looks like: the blank, and all else alike."""
    with np.load(OUT_OF_FOLD) as kept:
        answer = next(kept[key] / -8.0 for key in kept.files if key.endswith("|three two two seven"))
    flat = np.random.default_rng(6).normal(-5.5, 0.8, size=(12, 40))
    flat[:, 0] = -0.1
    return [(answer[:60], 16.0, 1000), (flat, 16.0, 60), (flat, 9.0, 1000)]


@pytest.mark.parametrize("case", range(3))
def test_nothing_that_the_beam_holds_is_lost(graph, case):
    scores, beam, most = rows()[case]
    found, wanted = graph.search(scores, beam, most), plainly(scores, beam, most)
    assert found.keys() == wanted.keys()
    assert [found[text] for text in wanted] == pytest.approx(list(wanted.values()), abs=1e-6)
