"""What sixty days make of eleven simulated children; and a day of five of them, written out.

    python -m tests.benchmarks.days [--seeds 3] [--days 60] [--jobs 2] [--only NAME]
    python -m tests.benchmarks.days --written 4        the fourth day of five children, question by question

The children are described in ``tests/practice/household.py``. Each column is the mean over the seeds:

end       day on which the last step of the path to 9,999 was mastered; else the step reached
asked     questions, each asking again counted; right: share of the answers that counted
exam      share of one fixed set of questions (eight of each step) that the child would get right on the last morning
kept      mean chance, on the last morning, that what it ever met comes to its mind
overdue   items due on the last morning, and the most on any morning
early     sittings that ended before their time with closing questions unasked, of all
stuck     days from the third in a row on with less than half of the answers right, where nobody was called
at one    most days in a row at one step that is not the last
thrice    times that one question was missed a third time in a sitting
called    sittings that ended by calling the parent
"""

import argparse
import statistics
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from random import Random

from sayit.numbers import FORMS
from sayit.practice.activities import asks, make_question, number_for
from sayit.practice.folding import mastered
from sayit.practice.guide import Outcome, next_fitting
from sayit.practice.learner import Learner
from sayit.practice.path import load_path
from sayit.practice.question import Question, Response, Said
from sayit.practice.session import PlanGuide, lead_one
from tests.practice.children import Child, pieces
from tests.practice.household import HOUSEHOLD, ONLY_SILENT_DAYS, Member, Silent

MINUTES = 10.0
START = datetime(2026, 1, 5, 9, 0, tzinfo=UTC)
PROMPT, REPLY, MODEL, KEYS, PATIENCE = 2.5, 2.0, 2.5, 2.0, 8.0
"""Seconds for the prompt, a short reply, saying the right answer, pressing the keys, waiting for a voice: invented."""


@dataclass
class Sitting:
    """One sitting as it went: every question with its answer and what followed."""

    guide: PlanGuide
    turns: list[tuple[Question, Response, Outcome]] = field(default_factory=list)
    seconds: float = 0.0

    @property
    def early(self) -> bool:
        """Whether its closing questions were left out."""
        return self.guide.closing.met == "not asked"

    @property
    def called(self) -> bool:
        """Whether the parent was called."""
        return any(getattr(outcome, "calls", "") for _, _, outcome in self.turns)

    @property
    def levels(self) -> list[str]:
        """What the answers showed that counted."""
        return [outcome.level for _, _, outcome in self.turns if outcome.level != "unclear"]

    @property
    def thrice(self) -> int:
        """How many questions were missed three times or more."""
        missed = Counter(question.key for question, _, outcome in self.turns if outcome.level == "missed")
        return sum(times >= 3 for times in missed.values())


def play(child: Child, learner: Learner, member: Member, now: datetime, seed: int) -> Sitting:
    """One sitting; time passes for the child too."""
    guide = lead_one(learner, now, seed=seed, minutes=MINUTES)
    sitting, began = Sitting(guide), now

    def fits(_: int, question: Question) -> bool:
        return question.form not in FORMS or question.form in member.forms

    # The sitting has two minutes more for its closing questions, as a real one has.
    while now < began + timedelta(minutes=MINUTES + 2) and (question := next_fitting(guide, now, fits)):
        answer = child.answer(question)
        silent = answer == Response()
        spent = PROMPT + (PATIENCE if silent else answer.response_seconds or 1.0)
        spent += REPLY + (KEYS if question.way == "digits" else 0.0)
        outcome = guide.take(answer, now + timedelta(seconds=spent))
        spent += MODEL if outcome.level == "missed" else 0.0
        now += timedelta(seconds=spent)
        child.pass_time(spent)
        sitting.turns.append((question, answer, outcome))
    sitting.seconds = (now - began).total_seconds()
    return sitting


@dataclass(frozen=True)
class Days:
    """What the days made of one child."""

    end: int | None
    step: str
    asked: int
    right: float
    exam: float
    kept: float
    overdue: int
    most_overdue: int
    early: int
    sittings: int
    stuck: int
    at_one: int
    thrice: int
    called: int


def beginning(member: Member, seed: int) -> tuple[Child, Learner]:
    """The child and the empty record on the first day."""
    return member.make(Random(f"{member.name} {seed}")), Learner(step=member.step, forms=member.forms)


def sittings_of(member: Member, seed: int, days: int):
    """Day after day: (day, child, learner, the day's sittings)."""
    child, learner = beginning(member, seed)
    at = START
    for day in range(days):
        held = []
        for turn in range(member.a_day if member.practises(day) else 0):
            now = START + timedelta(days=day, hours=7 * turn)
            child.pass_time(max((now - at).total_seconds(), 0.0))
            if isinstance(child, Silent):
                child.quiet = day < ONLY_SILENT_DAYS
            held.append(play(child, learner, member, now, seed * 10_000 + day * 2 + turn))
            at = now + timedelta(seconds=held[-1].seconds)
        yield day, child, learner, held
    child.pass_time((START + timedelta(days=days) - at).total_seconds())


def overdue(learner: Learner, at: float) -> int:
    """How many items are due, as the plan counts them."""
    return len(learner.due(at))


def days_of(member: Member, seed: int, days: int) -> Days:
    """So many days of one child."""
    end, asked, right, counted, early, called, thrice, many = None, 0, 0, 0, 0, 0, 0, 0
    stuck = hard_days = at_one = here = most = 0
    step = member.step
    for day, child, learner, held in sittings_of(member, seed, days):  # noqa: B007 - looked at on the last morning
        morning = (START + timedelta(days=day)).timestamp()
        most = max(most, overdue(learner, morning + 86_400))
        if end is None and _over(learner, morning + 43_200):
            end = day + 1
        if not held:
            continue
        levels = [level for sitting in held for level in sitting.levels]
        asked += sum(len(sitting.turns) for sitting in held)
        many += len(held)
        right += sum(level != "missed" for level in levels)
        counted += len(levels)
        early += sum(sitting.early for sitting in held)
        thrice += sum(sitting.thrice for sitting in held)
        calls = sum(sitting.called for sitting in held)
        called += calls
        hard = 2 * sum(level != "missed" for level in levels) < len(levels) or not levels
        hard_days = hard_days + 1 if hard and not calls else 0
        stuck += hard_days >= 3
        here = here + 1 if learner.step == step else 1
        step = learner.step
        if step != learner.path.slugs[-1]:
            at_one = max(at_one, here)
    last = (START + timedelta(days=days)).timestamp()
    met = [child.recall(piece) for piece in child.traces]
    return Days(
        end,
        step,
        asked,
        right / max(counted, 1),
        exam(child, member),
        statistics.fmean(met) if met else 0.0,
        overdue(learner, last),
        most,
        early,
        many,
        stuck,
        at_one,
        thrice,
        called,
    )


def _over(learner: Learner, at: float) -> bool:
    last = learner.path.slugs[-1]
    return learner.step == last and mastered(learner, last, at)


def exam(child: Child, member: Member) -> float:
    """The mean chance of a right answer over a fixed set of questions in the forms wanted."""
    random, chances = Random("exam"), []
    for step in load_path():
        kinds = [ask for ask in asks(step, needed=True) if ask.partition(":")[2] not in set(FORMS) - set(member.forms)]
        for turn in range(8):
            ask = kinds[turn % len(kinds)]
            question = make_question(step, ask, number_for(step, ask, random), random)
            chance = 1.0
            for piece in pieces(question):
                chance *= child.recall(piece)
            chances.append(chance)
    return statistics.fmean(chances)


def row(member: Member, results: list[Days]) -> str:
    """A child's row of the table."""

    def mean(what: str) -> float:
        return statistics.fmean(getattr(result, what) for result in results)

    ends = [result.end for result in results if result.end is not None]
    end = f"{statistics.fmean(ends):.0f}" if len(ends) == len(results) else results[0].step
    taught = bool(results[0].kept)
    cells = (
        end,
        f"{mean('asked'):.0f}",
        f"{mean('right'):.0%}",
        f"{mean('exam'):.0%}" if taught else "-",
        f"{mean('kept'):.0%}" if taught else "-",
        f"{mean('overdue'):.0f} ({max(result.most_overdue for result in results)})",
        f"{mean('early'):.0f} of {mean('sittings'):.0f}",
        *(f"{mean(what):.0f}" for what in ("stuck", "at_one", "thrice", "called")),
    )
    return f"| {member.name} | {' | '.join(cells)} |"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--days", type=int, default=60)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--only", action="append", help="only this child; may be given again")
    parser.add_argument(
        "--written", type=int, metavar="DAY", help="print that day of five children, question by question"
    )
    arguments = parser.parse_args()
    if arguments.written is not None:
        for name in arguments.only or WRITTEN:
            write(name, 0, arguments.written - 1)
        return
    print(f"{arguments.seeds} seeds, {arguments.days} days of {MINUTES:.0f} minutes\n")
    print("| child | end | asked | right | exam | kept | overdue (most) | early | stuck | at one | thrice | called |")
    print("|---|" + "---|" * 11)
    with ProcessPoolExecutor(arguments.jobs) as pool:
        chosen = [member for member in HOUSEHOLD if not arguments.only or member.name in arguments.only]
        runs = {
            member.name: [pool.submit(_one, member.name, seed, arguments.days) for seed in range(arguments.seeds)]
            for member in chosen
        }
        for member in chosen:
            print(row(member, [run.result() for run in runs[member.name]]), flush=True)


WRITTEN = ("average", "slow but right", "too high", "swaps teens and tens", "counts")


def write(name: str, seed: int, day: int) -> None:
    """Print that day's sittings of a child (0: the first), question by question, with the words that are said."""
    from sayit.speaking.phrases import open_bank

    member, bank, random = next(member for member in HOUSEHOLD if member.name == name), open_bank(), Random(seed)

    def spoken(phrase: Said) -> str:
        return bank.choose(phrase.key, random, **{blank: named.words for blank, named in phrase.values}).text

    held: list[Sitting] = []
    for _, _, _, held in sittings_of(member, seed, day + 1):  # noqa: B007 - the last day's are printed
        pass
    for sitting in held:
        aim = sitting.guide.aim
        print(f"\n## {name}, day {day + 1}: {aim.sentence} Because {aim.why.rstrip('.')}.\n")
        for place, (question, answer, outcome) in enumerate(sitting.turns, 1):
            asked = " ".join(spoken(phrase) for phrase in question.say)
            seen = f" [sees {question.show.kind} {question.show.numbers}]" if question.show else ""
            gave = answer.words or answer.digits or answer.choice or "(nothing)"
            took = "" if answer.response_seconds is None else f" after {answer.response_seconds:.1f} s"
            told = " ".join(spoken(phrase) for phrase in outcome.reply)
            print(f"{place:3} {question.purpose:9} {asked}{seen}")
            print(f"              - {gave}{took}: {outcome.level} {' '.join(outcome.judgement.reasons)}")
            print(f"              {told}" + (f"   (parent: {outcome.note})" if outcome.note else ""))
        print(f"\nIt ended: {sitting.guide.because}. Aim: {sitting.guide.closing.met}.")


def _one(name: str, seed: int, days: int) -> Days:
    return days_of(next(member for member in HOUSEHOLD if member.name == name), seed, days)


if __name__ == "__main__":
    main()
