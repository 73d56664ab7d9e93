"""Three answers for each reason for which one can be missed: what a child asked that says, or puts down."""

from dataclasses import dataclass
from random import Random

from sayit.numbers import Judgement
from sayit.practice.activities import ACTIVITIES, judge_answer, question_from_key
from sayit.practice.followups import FollowUp, follow_up
from sayit.practice.path import Path
from sayit.practice.question import Question, Response, Said
from sayit.practice.replies import reply

__all__ = ["ANSWERS", "Example", "examples"]

ANSWERS: dict[str, tuple[tuple[str, str], ...]] = {
    "teen-ty-swap": (
        ("teens/read-out:plain/13", "thirty"),
        ("hundreds/read-out:plain/213", "two hundred thirty"),
        ("teens/next-door:next/19", "ninety-one"),
    ),
    "off-by-one": (
        ("five-and-some/glimpse/8", "seven"),
        ("tens-and-ones/next-door:next/29", "thirty-one"),
        ("tens-and-ones/read-out:plain/45", "forty-six"),
    ),
    "off-by-ten": (
        ("tens-and-ones/next-door:ten-more/45", "sixty-five"),
        ("tens-and-ones/read-out:plain/45", "fifty-five"),
        ("hundreds/read-out:plain/345", "three hundred thirty-five"),
    ),
    "other-digit": (
        ("to-five/glimpse/3", "eight"),
        ("tens-and-ones/build:plain/45", "48"),
        ("tens-and-ones/read-out:plain/45", "eighty-five"),
    ),
    "other-number": (
        ("tens-and-ones/read-out:plain/45", "ninety-one"),
        ("to-five/glimpse/3", "seventy-two"),
        ("pairs-to-ten/to-ten/7", "twelve"),
    ),
    "digits-swapped": (
        ("tens-and-ones/read-out:plain/24", "forty-two"),
        ("tens-and-ones/build:plain/45", "54"),
        ("hundreds/read-out:plain/345", "three hundred fifty-four"),
    ),
    "lost-zero": (
        ("hundreds-inner-zero/places/305", "three five"),
        ("thousands-inner-zeros/build:plain/4030", "430"),
        ("thousands-inner-zeros/read-out:plain/8006", "eight hundred six"),
    ),
    "added-zero": (
        ("hundreds/build:plain/346", "3046"),
        ("thousands-inner-zeros/build:plain/4030", "40030"),
        ("hundreds/read-out:plain/365", "three thousand sixty-five"),
    ),
    "wrong-place-word": (
        ("thousands-inner-zeros/read-out:plain/4030", "four thousand three hundred"),
        ("hundreds/read-out:plain/200", "hundred two"),
        ("hundreds/read-out:plain/834", "eighty thirty-four"),
    ),
    "glued-parts": (
        ("hundreds/build:plain/365", "30065"),
        ("hundreds/build:plain/642", "600402"),
        ("thousands-inner-zeros/build:plain/4030", "400030"),
    ),
    "dropped-part": (
        ("tens-and-ones/build:plain/45", "4"),
        ("hundreds/read-out:plain/345", "three hundred five"),
        ("tens-and-ones/read-out:plain/45", "forty"),
    ),
    "added-part": (
        ("whole-tens/read-out:plain/40", "forty-five"),
        ("hundreds/build:plain/300", "345"),
        ("pairs-to-ten/to-ten/7", "twenty-three"),
    ),
    "in-pieces": (
        ("hundreds/read-out:plain/365", "thirty-six five"),
        ("thousands-inner-zeros/read-out:plain/4030", "forty thirty"),
        ("hundreds/read-out:plain/345", "three forty-five"),
    ),
    "digit-by-digit": (
        ("tens-and-ones/read-out:plain/45", "four five"),
        ("hundreds/read-out:plain/345", "three four five"),
        ("thousands-inner-zeros/read-out:plain/8006", "eight zero zero six"),
    ),
    "counted": (
        ("five-and-some/glimpse/8", "five six seven eight"),
        ("five-and-some/glimpse/7", "five and two"),
        ("tens-and-ones/next-door:next/29", "twenty-eight, twenty-nine, thirty"),
    ),
    "by-twos": (
        ("teens/glimpse/12", "eight ten twelve"),
        ("teens/glimpse/14", "ten twelve fourteen"),
        ("teens/glimpse/16", "twelve fourteen sixteen"),
    ),
    "by-fives": (
        ("teens/glimpse/15", "five ten fifteen"),
        ("teens/glimpse/12", "five ten eleven twelve"),
        ("tens-and-ones/next-door:next/14", "five ten fifteen"),
    ),
    "by-tens": (
        ("whole-tens/next-door:ten-more/30", "twenty thirty forty"),
        ("whole-tens/tens-in:tens/40", "ten twenty thirty forty: four"),
        ("tens-and-ones/next-door:ten-more/45", "thirty-five forty-five fifty-five"),
    ),
    "decade-overrun": (
        ("tens-and-ones/next-door:next/29", "twenty-nine, twenty-ten"),
        ("tens-and-ones/next-door:next/39", "thirty-ten"),
        ("tens-and-ones/next-door:next/89", "eighty-ten"),
    ),
    "wrong-direction": (
        ("tens-and-ones/next-door:before/40", "forty-one"),
        ("to-five/next-door:next/4", "three"),
        ("tens-and-ones/next-door:ten-more/45", "thirty-five"),
    ),
    "one-for-ten": (
        ("tens-and-ones/next-door:ten-more/45", "forty-six"),
        ("tens-and-ones/next-door:ten-less/45", "forty-four"),
        ("hundreds/next-door:ten-more/345", "three hundred forty-six"),
    ),
    "told-ones": (
        ("tens-and-ones/tens-in:tens/45", "five"),
        ("tens-and-ones/tens-in:tens/41", "one"),
        ("teens/tens-in:tens/13", "three"),
    ),
    "told-tens-digit": (
        ("ten-tens/tens-in:tens/120", "two"),
        ("ten-tens/tens-in:tens/190", "nine"),
        ("hundreds/tens-in:tens/340", "four"),
    ),
    "told-number": (
        ("tens-and-ones/tens-in:tens/45", "forty-five"),
        ("pairs-to-ten/to-ten/7", "seven"),
        ("tens-and-ones/next-door:next/29", "twenty-nine"),
    ),
    "other-form": (
        ("tens-and-ones/other-way:explicit/45", "forty-five"),
        ("teens/other-way:plain/13", "one-ten three"),
        ("hundreds/read-out:explicit/345", "three hundred forty-five"),
    ),
    "mixed-form": (
        ("all-thousands/read-out:plain/1540", "fifteen hundred four-ten"),
        ("all-thousands/read-out:plain/1260", "twelve hundred six-ten"),
        ("all-thousands/read-out:explicit/1635", "sixteen hundred three-ten five"),
    ),
    "malformed": (
        ("tens-and-ones/read-out:plain/46", "five hundred hundred"),
        ("hundreds/read-out:plain/345", "three hundred hundred"),
        ("tens-and-ones/read-out:plain/54", "forty ten five"),
    ),
    "made-up-word": (
        ("whole-tens/read-out:plain/50", "fivety"),
        ("teens/read-out:plain/13", "threeteen"),
        ("tens-and-ones/read-out:plain/53", "fivety three"),
    ),
    "uncommon-name": (
        ("thousands/read-out:plain/2000", "twenty hundred"),
        ("thousands/read-out:plain/4000", "forty hundred"),
        ("thousands/read-out:plain/9000", "ninety hundred"),
    ),
    "undecided": (
        ("tens-and-ones/read-out:plain/46", "forty-five or fifty-four"),
        ("to-five/glimpse/3", "four or five"),
        ("whole-tens/read-out:plain/40", "thirty or fifty"),
    ),
}
"""By reason: the question's key, and the answer in words or figures."""


@dataclass(frozen=True, slots=True)
class Example:
    """A missed or counted answer, what it was judged, what the child hears, and what follows."""

    question: Question
    answer: str
    judgement: Judgement
    says: tuple[Said, ...]
    after: FollowUp | None


def examples(path: Path, reason: str, random: Random) -> tuple[Example, ...]:
    """What the practice makes of the answers for a reason."""
    return tuple(_example(path, question_from_key(path, key), answer, random) for key, answer in ANSWERS[reason])


def _example(path: Path, question: Question, answer: str, random: Random) -> Example:
    digits = answer if answer.isdigit() else None
    judgement = judge_answer(question, Response(words=None if digits else answer, digits=digits, response_seconds=1.0))
    missed = judgement.verdict != "right"
    reasons = judgement.reasons or (("other-form",) if missed else ())
    after = follow_up(path, question, reasons, random)
    shown = after if missed or ACTIVITIES[question.activity].seen else None
    says = reply(question, judgement, "missed" if missed else "right", shown, later=missed and not after.again)
    return Example(question, answer, judgement, says, shown)
