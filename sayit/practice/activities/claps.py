"""Claps: clap the syllables of a round number's name, and tell its digits.

For the tens name of a round number the claps usually tell how many digits it
has: "three-ten" two and two, "four hundred" three and three. The rule breaks in two
places, and both are taught as such: "seven" has two claps for one digit, and
"thousand" has two claps for three zeros.
"""

from sayit.numbers import Judgement, digit_rule, slips
from sayit.practice.activities import judging
from sayit.practice.activities.activity import Activity, Lesson
from sayit.practice.path import Step
from sayit.practice.question import Named, Question, Response, Said, said

_MOST = 9
"""No name that is clapped has more claps."""


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
        clapped=counted,
    )


def _judge(question: Question, answer: Response) -> Judgement:
    """Claps that were counted, or how many the child says there were; the name said along with them is neither."""
    if parent := judging.by_parent(question, answer):
        return parent
    if answer.claps is not None:
        heard = f"{answer.claps} claps"
        if not answer.sure:
            return judging.unclear(question, heard)
        right = answer.claps == question.value
        why = () if right else slips(question.value, answer.claps)
        return Judgement(question.value, "any", heard, answer.claps, "right" if right else "wrong", why)
    judged = judging.quantity(question, answer)
    if question.clapped and judged.value is not None and judged.value > _MOST:
        return judging.unclear(question, judged.heard)
    return judged


CLAPS = Activity(
    slug="claps",
    says="claps a number's name and tells its digits",
    short="clapping it",
    guess=0.25,
    factor=2.0,
    ask=_ask,
    judge=_judge,
    variants=lambda _step: ("count", "digits"),
    suits=lambda number, _variant: number >= 10 and len(str(number).rstrip("0")) == 1 and number <= 9_000,
    tells_number=False,
    lesson=Lesson("Clap it together once, then ask again.", lesson),
)
