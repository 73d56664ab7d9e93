"""What comes after a miss: each reason has its own next step.

Nobody hears that an answer was wrong. The right answer is said, a small detour
goes to the bottom of the mistake, and the question comes back.
"""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from sayit.practice.activities import make_question, split
from sayit.practice.activities.activity import differs
from sayit.practice.activities.claps import lesson
from sayit.practice.path import Path
from sayit.practice.question import Named, Question, Said, said


@dataclass(frozen=True, slots=True)
class FollowUp:
    """The next step after an answer.

    ``reason`` names what was noticed, ``why`` says it to the parent in a plain
    sentence, ``say`` is said to the child after the right answer, ``moves`` are asked
    next, and ``again`` tells whether the same question follows directly on them
    (it comes back later in any case).
    """

    reason: str
    why: str
    say: tuple[Said, ...] = ()
    moves: tuple[Question, ...] = ()
    again: bool = True


def follow_up(path: Path, question: Question, reasons: tuple[str, ...], random: Random) -> FollowUp:
    """The next step for a missed question; reasons in the judge's order, the first known one decides."""
    if question.activity == "claps":
        return _claps(question)
    for reason in reasons:
        if reason in _NEXT:
            return _NEXT[reason](path, question, random)
    return FollowUp("", "Not yet: the answer was said, and the question comes back.", again=False)


def _moves(path: Path, question: Question, random: Random, *steps: tuple[str, int]) -> tuple[Question, ...]:
    """Questions of these kinds and numbers, each at the step where its number is at home."""
    made = []
    for ask, number in steps:
        activity, variant = split(ask)
        step = path.home(number) if number not in path[question.step].numbers else path[question.step]
        if activity.suits(number, variant) and (ask, number) != (question.ask, question.about[0]):
            made.append(make_question(step, ask, number, random, "follow-up"))
    return tuple(made)


def _number(question: Question) -> int:
    """The number that the mistake was made in: for "which is more" the larger, next door the answer."""
    return question.value if question.activity in ("which-more", "next-door") else question.about[0]


def _teen_ty(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    teen = next((teen for teen in map(_teen, (number % 100, number // 1000 % 100)) if teen), 13)
    whole = (teen - 10) * 10
    return FollowUp(
        "teen-ty-swap",
        "A teen and a ten sound alike: say them in tens, clap them, then ask again.",
        (said("follow.teen-ty-swap", teen=Named(teen, "explicit"), ty=Named(whole, "explicit")),),
        _moves(path, question, random, ("say-back:explicit", number), ("claps:count", whole)),
    )


def _teen(part: int) -> int | None:
    """The teen of a part below a hundred that is a teen or the ten that sounds like one."""
    if 13 <= part <= 19:
        return part
    return 10 + part // 10 if part in range(30, 91, 10) else None


def _lost_zero(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    return FollowUp(
        "lost-zero",
        "An empty place was left out: tell the digits place by place, then ask again.",
        (said("follow.lost-zero", number=Named(number, "digits")),),
        _moves(path, question, random, ("places", number)),
    )


def _other_form(path: Path, question: Question, random: Random) -> FollowUp:
    return FollowUp(
        "other-form",
        "The number was right, said the other way: hear it once in the form asked, then ask again.",
    )


def _counted(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    smaller = sorted({max(1, number // 2), max(1, number - 2)} - {number})
    step = path.steps[0]
    moves = tuple(
        make_question(path.home(less) if less in path.home(less).numbers else step, "glimpse", less, random, "follow-up")
        for less in smaller
        if split("glimpse")[0].suits(less, "")
    )
    return FollowUp(
        "counted",
        "This was counted, one by one: show smaller groups for a moment, then the same again.",
        (said("follow.counted"),),
        moves if question.activity == "glimpse" else (),
    )


def _swapped(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    return FollowUp(
        "digits-swapped",
        "Two digits changed places: say it in tens and tell its digits, then ask again.",
        (said("follow.digits-swapped", number=Named(number, "explicit")),),
        _moves(path, question, random, ("say-back:explicit", number), ("places", number)),
    )


def _wrong_place(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    return FollowUp(
        "wrong-place-word",
        "The digits are right, the places are not: tell the digits place by place, then ask again.",
        (said("follow.wrong-place-word", number=Named(number, "explicit")),),
        _moves(path, question, random, ("places", number), ("tens-in:tens", number)),
    )


def _glued(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    digits = str(number)
    largest = int(digits[0]) * 10 ** (len(digits) - 1)
    return FollowUp(
        "glued-parts",
        "The parts were written one after the other: build the largest part alone, tell the places, then ask again.",
        (said("follow.glued-parts", number=Named(number, "digits")),),
        (
            *(_one(path, "build:plain", largest, random) if largest != number else ()),
            *_moves(path, question, random, ("places", number)),
        ),
    )


def _one(path: Path, ask: str, number: int, random: Random) -> tuple[Question, ...]:
    return (make_question(path.home(number), ask, number, random, "follow-up"),)


def _dropped(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    return FollowUp(
        "dropped-part",
        "A part of the number was left out: hear it again in parts, tell the places, then ask again.",
        (said("follow.dropped-part", number=Named(number, "explicit")),),
        _moves(path, question, random, ("say-back:explicit", number), ("places", number)),
    )


def _digit_by_digit(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    ask = "say-back:explicit" if differs(number) else "say-back:plain"
    return FollowUp(
        "digit-by-digit",
        "The digits were read out one by one: hear the number as tens and ones, then ask again.",
        (said("follow.digit-by-digit", number=Named(number, "explicit")),),
        _moves(path, question, random, (ask, number)),
    )


def _off_by_one(path: Path, question: Question, random: Random) -> FollowUp:
    number = question.value
    steps = [("next-door:next", number - 1)] if number > 1 else []
    return FollowUp(
        "off-by-one",
        "One too many or too few: find its neighbour, then ask again.",
        (said("follow.off-by-one", number=Named(number)),),
        _moves(path, question, random, *steps),
    )


def _off_by_ten(path: Path, question: Question, random: Random) -> FollowUp:
    number = question.value
    steps = [("next-door:ten-more", number - 10), ("tens-in:tens", number)] if number > 10 else []
    return FollowUp(
        "off-by-ten",
        "One ten too many or too few: find ten more and say how many tens, then ask again.",
        (said("follow.off-by-ten", number=Named(number, "explicit")),),
        _moves(path, question, random, *steps)[:2],
    )


def _claps(question: Question) -> FollowUp:
    why = "Clap it together once, then ask again."
    return FollowUp("claps", why, (lesson(question.about[0]),))


def _added(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    return FollowUp(
        "added-part",
        "A part was put in that is not there: tell the digits place by place, then ask again.",
        (said("follow.added-part", number=Named(number, "digits")),),
        _moves(path, question, random, ("places", number)),
    )


def _other_digit(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    return FollowUp(
        "other-digit",
        "One digit was another: tell the digits place by place, then ask again.",
        (),
        _moves(path, question, random, ("places", number)),
    )


def _put_together(path: Path, question: Question, random: Random) -> FollowUp:
    number = _number(question)
    form = question.form if question.form in ("plain", "explicit") else "plain"
    return FollowUp(
        "mixed-form",
        "The name was not put together as one: hear it in one form and say it back, then ask again.",
        (),
        _moves(path, question, random, (f"say-back:{form}", number)),
    )


def _not_a_number(path: Path, question: Question, random: Random) -> FollowUp:
    return FollowUp("not-a-number", "No number was heard: ask once more.")


_NEXT: dict[str, Callable[[Path, Question, Random], FollowUp]] = {
    "other-form": _other_form,
    "teen-ty-swap": _teen_ty,
    "lost-zero": _lost_zero,
    "added-part": _added,
    "other-digit": _other_digit,
    "malformed": _put_together,
    "mixed-form": _put_together,
    "made-up-word": _put_together,
    "uncommon-name": _put_together,
    "glued-parts": _glued,
    "digits-swapped": _swapped,
    "wrong-place-word": _wrong_place,
    "dropped-part": _dropped,
    "digit-by-digit": _digit_by_digit,
    "counted": _counted,
    "off-by-one": _off_by_one,
    "off-by-ten": _off_by_ten,
    "not-a-number": _not_a_number,
}

REASONS = tuple(_NEXT)
"""All reasons that have a next step of their own."""
