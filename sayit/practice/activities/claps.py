"""Claps: clap the syllables of a round number's name, and tell its digits.

For the tens name of a round number the claps usually tell how many digits it
has: "three-ten" two and two, "four hundred" three and three. The rule breaks in two
places, and both are taught as such: "seven" has two claps for one digit, and
"thousand" has two claps for three zeros.
"""

from sayit.numbers import digit_rule
from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity, Lesson
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, Said, said


def claps(number: int) -> int:
    """How many claps the explicit name of ``number`` has."""
    return len(digit_rule(number).syllables)


def lesson(number: int) -> Said:
    """What to say about claps and digits of ``number`` after it was clapped."""
    rule = digit_rule(number)
    broken = [word for word in ("seven", "thousand") if f"{word}-has-two" in rule.reasons]
    return said(
        "teach.claps-" + ("-".join(broken) or "same"),
        number=Named(number, "explicit"),
        claps=Named(len(rule.syllables)),
        digits=Named(len(rule.digits)),
    )


def _ask(step: Step, about: tuple[int, ...], variant: str) -> Question:
    (number,) = about
    counted = variant == "count"
    return Question(
        step.slug,
        "claps",
        variant,
        about,
        (said(f"ask.claps-{variant}", number=Named(number, "explicit")),),
        way="spoken",
        value=claps(number) if counted else number,
        form="any" if counted else "digits",
        seconds=step.seconds * CLAPS.factor,
    )


CLAPS = Activity(
    slug="claps",
    says="claps a number's name and tells its digits",
    short="clapping it",
    guess=0.25,
    factor=2.0,
    ask=_ask,
    judge=judging.quantity,
    variants=lambda _step: ("count", "digits"),
    suits=lambda number, _variant: number >= 10 and len(str(number).rstrip("0")) == 1 and number <= 9_000,
    tells_number=False,
    lesson=Lesson("Clap it together once, then ask again.", lesson),
)
