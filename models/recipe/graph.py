"""Build the decoding graph: what may be said (costs in nats), how it sounds, and CTC's blanks, in one static FST.

    python graph.py FOLDER [--transcripts sentences.txt] [--filler-scale 0.6] ...

writes ``graph.npz`` (arcs sorted by their state: ``first``, ``degree`` and ``final`` for each state; ``target``,
``phone``, ``word``, ``cost`` for each arc, every arc taking one frame) and ``words.txt``.
"""

from __future__ import annotations

import argparse
import math
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pynini
from language import ALSO, DIGITS, EVERYDAY, INSTEAD, TEENS, TENS, WORDS
from lexicon import BLANK, INDEX, PHONES, child_pronunciations, pronunciations

FILLER, OTHER = "[unk]", "[other]"
"""Nothing but other speech; other speech before or after a number."""
CORRECTING = sorted({word for phrase in INSTEAD for word in phrase.split()})
VOCABULARY = ["<eps>", *WORDS, *CORRECTING, *ALSO, FILLER, OTHER]
WORD_ID = {word: i for i, word in enumerate(VOCABULARY)}
NINE = DIGITS[1:]


@dataclass(frozen=True)
class Costs:
    """Costs in nats; ``scale`` multiplies them all against the acoustic scores."""

    scale: float = 0.8
    names: float = 0.8  # plain names, explicit names, digit by digit: about equally likely
    explicit: float = 1.0
    digits: float = 1.0
    loop: float = 6.0  # number words in any other order
    loop_word: float = 4.0
    silence: float = 3.0
    instead: float = 4.0  # "no, I mean" and the number said anew
    undecided: float = 5.0  # "forty-five or fifty-four"
    added: float = 5.0  # "five and three"
    empty: float = 6.0  # "four hundred, no tens, five"
    filler: float = 2.0
    filler_scale: float = 0.7  # of the phone bigram's cost
    other: float = 3.0  # the same before or after a number
    other_scale: float = 0.8
    everyday: float = 2.0  # everyday words before or after a number
    everyday_word: float = 3.5
    digits_beside: float = 4.0  # digit by digit beside other speech, which may be a digit that was swallowed


def word(text: str, cost: float = 0.0) -> pynini.Fst:
    fst = pynini.Fst()
    fst.add_states(2)
    fst.set_start(0)
    fst.set_final(1)
    fst.add_arc(0, pynini.Arc(WORD_ID[text], WORD_ID[text], cost, 1))
    return fst


def choice(*fsts: pynini.Fst) -> pynini.Fst:
    return pynini.union(*fsts)


def one_of(words: list[str]) -> pynini.Fst:
    return choice(*(word(w, math.log(len(words))) for w in words))


def one_phrase(phrases: list[str]) -> pynini.Fst:
    return tidy(choice(*(sequence(*map(word, p.split()), empty(math.log(len(phrases)))) for p in phrases)))


def empty(cost: float = 0.0) -> pynini.Fst:
    fst = pynini.Fst()
    fst.add_state()
    fst.set_start(0)
    fst.set_final(0, cost)
    return fst


def costing(fst: pynini.Fst, cost: float) -> pynini.Fst:
    return pynini.concat(empty(cost), fst)


def maybe(fst: pynini.Fst, probability: float) -> pynini.Fst:
    return choice(costing(fst, -math.log(probability)), empty(-math.log(1 - probability)))


def sequence(*fsts: pynini.Fst) -> pynini.Fst:
    out = fsts[0].copy()
    for fst in fsts[1:]:
        out = pynini.concat(out, fst)
    return out


def tidy(fst: pynini.Fst) -> pynini.Fst:
    return fst.copy().optimize()


def names() -> tuple[pynini.Fst, pynini.Fst]:
    """Acceptors of plain and of explicit names, 0 to 999,999; lengths of one to six digits are weighed down slowly."""
    nine, teens, tens, also = one_of(NINE), one_of(TEENS), one_of(TENS), maybe(word("and"), 0.25)
    below_hundred = tidy(
        choice(
            costing(nine, math.log(4)),
            costing(teens, math.log(4)),
            costing(sequence(tens, maybe(nine, 0.8)), math.log(2)),
        )
    )
    hundreds = sequence(choice(costing(nine, 0.05), word("a", 3.0)), word("hundred"))
    below_thousand = tidy(
        choice(
            costing(below_hundred, math.log(2)),
            costing(sequence(hundreds, maybe(sequence(also, below_hundred), 0.8)), math.log(2)),
        )
    )

    def with_thousands(below: pynini.Fst) -> pynini.Fst:
        front = choice(costing(one_of(NINE), 0.5), costing(below, 1.5), word("a", 4.0))
        thousands = sequence(front, word("thousand"), maybe(sequence(also, below), 0.85))
        return tidy(choice(costing(below, 0.5), costing(thousands, 1.0), word("zero", 4.0)))

    ten_part = sequence(nine, word("ten"))
    explicit_hundred = tidy(choice(costing(nine, math.log(6)), costing(sequence(ten_part, maybe(nine, 0.8)), 0.2)))
    explicit_thousand = tidy(
        choice(
            costing(explicit_hundred, math.log(2)),
            costing(sequence(nine, word("hundred"), maybe(sequence(also, explicit_hundred), 0.85)), math.log(2)),
        )
    )
    return with_thousands(below_thousand), with_thousands(explicit_thousand)


def loop(words: list[str], cost: float, stop: float) -> pynini.Fst:
    fst = pynini.Fst()
    fst.add_states(2)
    fst.set_start(0)
    fst.set_final(1, stop)
    for w in words:
        for source in (0, 1):
            fst.add_arc(source, pynini.Arc(WORD_ID[w], WORD_ID[w], cost, 1))
    return fst


def grammar(costs: Costs, beside: bool) -> pynini.Fst:
    """What is a number; ``beside`` other speech it cannot be silence."""
    plain, explicit = names()
    stay, stop = 0.25, 1.3
    loose = costs.digits_beside if beside else 0.0
    digits = pynini.Fst()
    digits.add_states(2)
    digits.set_start(0)
    digits.set_final(1, stop)
    for w in [*DIGITS, "oh"]:
        cost = math.log(10) + {"zero": 0.4, "oh": 1.2}.get(w, 0.0)
        for source in (0, 1):
            digits.add_arc(source, pynini.Arc(WORD_ID[w], WORD_ID[w], cost + (stay if source else 0), 1))
    said = choice(
        costing(plain, costs.names),
        costing(explicit, costs.explicit),
        costing(digits, costs.digits + loose),
        costing(loop(WORDS[:-2], costs.loop_word, 0.0), costs.loop + loose),
        costing(sequence(plain, word("or"), plain), costs.undecided),
        costing(sequence(one_of(NINE), word("and"), one_of(NINE)), costs.added + loose),
        costing(
            sequence(one_of(NINE), word("hundred"), word("no"), word("tens"), maybe(one_of(NINE), 0.8)), costs.empty
        ),
    )
    said = tidy(said)
    anew = sequence(one_phrase(INSTEAD), said)
    said = choice(said, sequence(said, costing(anew, costs.instead)))
    return said if beside else choice(said, empty(costs.silence))


def lexicon() -> pynini.Fst:
    """Transducer from phone ids (index + 1) to word ids, closed under repetition."""
    fst = pynini.Fst()
    home = fst.add_state()
    fst.set_start(home)
    fst.set_final(home)
    for text in [*WORDS, *CORRECTING, *ALSO]:
        for cost, phones in child_pronunciations(text):
            state = home
            for i, phone in enumerate(phones):
                target = home if i == len(phones) - 1 else fst.add_state()
                fst.add_arc(
                    state, pynini.Arc(INDEX[phone] + 1, WORD_ID[text] if i == 0 else 0, cost if i == 0 else 0.0, target)
                )
                state = target
    return fst


def filler(sentences: list[str], out: str, enter: float, scale: float) -> pynini.Fst:
    """Any other speech: a phone bigram counted over ordinary sentences, put out as the one word ``out``."""
    pairs: Counter = Counter()
    for sentence in sentences:
        previous = BLANK
        for text in sentence.split():
            for phone in (pronunciations(text) or [[]])[0]:
                pairs[previous, phone] += 1
                previous = phone
        pairs[previous, BLANK] += 1
    fst = pynini.Fst()
    fst.add_states(len(PHONES) + 1)
    start = len(PHONES)
    fst.set_start(start)
    for a, first in enumerate(PHONES):
        total = sum(pairs[first, second] + 0.5 for second in PHONES)
        for b, second in enumerate(PHONES):
            cost = -math.log((pairs[first, second] + 0.5) / total) * scale
            if second == BLANK:
                if a:
                    fst.set_final(a, cost)
            elif a == 0:
                fst.add_arc(start, pynini.Arc(b + 1, WORD_ID[out], cost + enter, b))
            else:
                fst.add_arc(a, pynini.Arc(b + 1, 0, cost, b))
    return fst


def everyday(costs: Costs) -> pynini.Fst:
    """Everyday words one after the other, put out as one ``[other]``: likelier than any other speech."""
    fst = pynini.Fst()
    fst.add_states(2)
    fst.set_start(0)
    fst.set_final(1)
    for text in EVERYDAY:
        for extra, phones in child_pronunciations(text):
            for source, enter, out in ((0, costs.everyday, WORD_ID[OTHER]), (1, 0.0, 0)):
                states = [source, *(fst.add_state() for _ in phones[1:]), 1]
                for i, phone in enumerate(phones):
                    first = (out, enter + costs.everyday_word + extra) if i == 0 else (0, 0.0)
                    fst.add_arc(states[i], pynini.Arc(INDEX[phone] + 1, *first, states[i + 1]))
    return fst


def topology() -> pynini.Fst:
    """CTC: each phone one or more frames, blanks anywhere, a blank needed between two equal phones."""
    fst = pynini.Fst()
    count = len(PHONES)
    fst.add_states(count)  # state 0: start or after a blank; state p: in phone p
    fst.set_start(0)
    for state in range(count):
        fst.set_final(state)
        fst.add_arc(state, pynini.Arc(1, 0, 0.0, 0))
        for phone in range(1, count):
            stays = phone == state
            fst.add_arc(state, pynini.Arc(phone + 1, 0 if stays else phone + 1, 0.0, phone))
    return fst


def compact(fst: pynini.Fst) -> pynini.Fst:
    """Smallest equivalent graph that treats (input, output, cost) as one label, so it never fails to end."""
    fst = fst.copy().rmepsilon()
    mapper = pynini.EncodeMapper("standard", encode_labels=True, encode_weights=True)
    fst.encode(mapper)
    fst = pynini.determinize(fst).minimize()
    fst.decode(mapper)
    return fst


def scaled(fst: pynini.Fst, factor: float) -> pynini.Fst:
    return pynini.arcmap(fst, map_type="power", power=factor) if factor != 1 else fst


def build(costs: Costs, sentences: list[str]) -> pynini.Fst:
    def numbers(beside: bool) -> pynini.Fst:
        words = grammar(costs, beside).rmepsilon().arcsort("ilabel")
        return compact(pynini.compose(lexicon().arcsort("olabel"), words))

    other = choice(filler(sentences, OTHER, costs.other, costs.other_scale), everyday(costs))
    number = numbers(True)
    wrapped = choice(sequence(other, number, choice(other, empty())), sequence(number, other))
    spoken = choice(numbers(False), wrapped, filler(sentences, FILLER, costs.filler, costs.filler_scale))
    spoken = scaled(compact(spoken), costs.scale)
    graph = pynini.compose(topology().arcsort("olabel"), spoken.arcsort("ilabel"))
    return compact(graph).connect()


def write(folder: Path, graph: pynini.Fst) -> int:
    """Write the graph; returns its number of arcs."""
    first, degree, final, arcs = [], [], [], []
    order = [graph.start(), *(s for s in graph.states() if s != graph.start())]
    number = {state: i for i, state in enumerate(order)}
    for state in order:
        first.append(len(arcs))
        for arc in graph.arcs(state):
            assert arc.ilabel, "an arc that takes no frame"
            arcs.append((number[arc.nextstate], arc.ilabel - 1, arc.olabel, float(arc.weight)))
        degree.append(len(arcs) - first[-1])
        final.append(float(graph.final(state)))
    target, phone, word, cost = zip(*arcs, strict=False)
    folder.mkdir(parents=True, exist_ok=True)
    np.savez_compressed(
        folder / "graph.npz",
        first=np.array(first, np.int64),
        degree=np.array(degree, np.int64),
        final=np.array(final, np.float32),
        target=np.array(target, np.int32),
        phone=np.array(phone, np.int8),
        word=np.array(word, np.int8),
        cost=np.array(cost, np.float32),
    )
    (folder / "words.txt").write_text("".join(f"{w} {i}\n" for i, w in enumerate(VOCABULARY)))
    return len(arcs)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--transcripts", type=Path, required=True)
    defaults = Costs()
    for name in Costs.__dataclass_fields__:
        parser.add_argument("--" + name.replace("_", "-"), type=float, default=getattr(defaults, name))
    args = parser.parse_args()
    costs = Costs(**{name: getattr(args, name) for name in Costs.__dataclass_fields__})
    graph = build(costs, args.transcripts.read_text().splitlines())
    print(graph.num_states(), "states,", write(args.folder, graph), "arcs")


if __name__ == "__main__":
    main()
