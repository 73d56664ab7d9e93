"""How long the next question takes after 200,000 answers.

    python -m tests.benchmarks.next_question [--answers 200000]

Named peer, in the same run: one plain pass over the same answers in Python that only
counts right ones, which is what choosing from the whole history would cost at least.
"""

import argparse
import json
import statistics
import time
from datetime import UTC, datetime, timedelta
from random import Random

from sayit.practice.activities import asks, make_question, number_for
from sayit.practice.folding import fold
from sayit.practice.learner import Learner, Past
from sayit.practice.question import Response
from sayit.practice.session import lead_one

START = datetime(2025, 1, 1, 16, tzinfo=UTC)
QUESTIONS = 500


def history(answers: int, seed: int = 0) -> list[Past]:
    """Invented answers over a year to everything on the path, one in eight missed."""
    random = Random(seed)
    learner = Learner(step="all-thousands")
    kinds = [(step, ask) for step in learner.path for ask in asks(step)]
    gap = timedelta(days=365) / answers
    record = []
    for place in range(answers):
        step, ask = random.choice(kinds)
        question = make_question(step, ask, number_for(step, ask, random), random)
        right = random.random() > 0.125
        reasons = () if right else (random.choice(("teen-ty-swap", "lost-zero", "off-by-one")),)
        seconds = random.lognormvariate(0.7, 0.5)
        record.append(Past(START + place * gap, question.key, "right" if right else "wrong", reasons, seconds))
    return record


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--answers", type=int, default=200_000)
    answers = parser.parse_args().answers
    record = history(answers)

    learner = Learner(step="all-thousands")
    began = time.perf_counter()
    for past in record:
        fold(learner, past)
    rebuilt = time.perf_counter() - began
    text = json.dumps(learner.to_dict())
    began = time.perf_counter()
    learner = Learner.from_dict(json.loads(text))
    opened = time.perf_counter() - began

    now = record[-1].at + timedelta(days=1)
    took, taken, busy = [], [], []
    random = Random(1)
    session = lead_one(learner, now, seed=1, minutes=10_000)
    for _ in range(QUESTIONS):
        began, worked = time.perf_counter(), time.process_time()
        session.next_question(now)
        took.append(time.perf_counter() - began)
        busy.append(time.process_time() - worked)
        began = time.perf_counter()
        session.take(Response(verdict="right" if random.random() > 0.2 else "wrong", response_seconds=2.0), now)
        taken.append(time.perf_counter() - began)
        now += timedelta(seconds=8)
        if session.stage == "finish":
            session = lead_one(learner, now, seed=len(took), minutes=10_000)

    began = time.perf_counter()
    sum(past.verdict == "right" for past in record)
    peer = time.perf_counter() - began

    def line(name: str, values: list[float]) -> None:
        ranked = sorted(values)
        high = ranked[round(0.99 * (len(ranked) - 1))]
        print(
            f"{name}: median {statistics.median(ranked) * 1e3:.2f} ms, p99 {high * 1e3:.2f} ms, "
            f"worst {ranked[-1] * 1e3:.2f} ms"
        )

    kept = f"{len(learner.skills)} skills, {len(learner.items)} items, {len(text) / 1e3:.0f} kB of state"
    print(f"{answers} answers, {kept}")
    line("next question", took)
    line("next question, processor time alone", busy)
    line("taking an answer in", taken)
    ratio = statistics.median(took) / peer
    print(f"one pass over all answers (peer): {peer * 1e3:.2f} ms; next question / peer: {ratio:.3f}")
    print(f"state from JSON: {opened * 1e3:.1f} ms; rebuilt from all answers: {rebuilt:.1f} s")
    print(f"goal: next question within 20 ms: {'met' if max(took) < 0.02 else 'MISSED'}")


if __name__ == "__main__":
    main()
