"""What comes after a miss: each reason has its own next step.

Nobody hears that an answer was wrong. The right answer is said, a small detour
goes to the bottom of the mistake, and the question comes back.
"""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from sayit.numbers import FORMS
from sayit.practice.activities import make_question, split
from sayit.practice.activities.activity import differs
from sayit.practice.activities.claps import lesson
from sayit.practice.path import Path, Step
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
    """The next step for a missed question; reasons in the judge's order, the first known one decides.

    Of "other-number" nothing is known, so it has no step of its own.
    """
    if question.activity == "claps":
        return FollowUp("claps", "Clap it together once, then ask again.", (lesson(question.about[0]),))
    for reason in reasons:
        if detour := _DETOURS.get(reason):
            return detour.taken(reason, _Place(path, question, random))
        if special := _SPECIAL.get(reason):
            return special(_Place(path, question, random))
    return FollowUp("", "Not yet: the answer was said, and the question comes back.", again=False)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a mistake was made."""

    path: Path
    question: Question
    random: Random

    @property
    def number(self) -> int:
        """The number that the mistake was made in: for "which is more" the larger, next door the answer."""
        question = self.question
        return question.value if question.activity in ("which-more", "next-door") else question.about[0]

    def moves(self, *steps: tuple[str, int]) -> tuple[Question, ...]:
        """Questions of these kinds and numbers, at the missed one's step where it has the number; never the missed one."""
        own, question = self.path[self.question.step], self.question
        return tuple(
            self._one(own if number in own.numbers else self.path.home(number), ask, number)
            for ask, number in steps
            if _suits(ask, number) and (ask, number) != (question.ask, question.about[0])
        )

    def piece(self, ask: str, number: int) -> Question:
        """A question about a smaller number, where that is at home."""
        return self._one(self.path.home(number), ask, number)

    def _one(self, step: Step, ask: str, number: int) -> Question:
        return make_question(step, ask, number, self.random, "follow-up")


def _suits(ask: str, number: int) -> bool:
    activity, variant = split(ask)
    return activity.suits(number, variant)


@dataclass(frozen=True, slots=True)
class _Detour:
    """A detour about the number itself: ``why`` for the parent, how it is ``named`` to the child, what is asked."""

    why: str
    named: str = ""
    asks: tuple[str, ...] = ()

    def taken(self, reason: str, place: _Place) -> FollowUp:
        say = (said(f"follow.{reason}", number=Named(place.number, self.named)),) if self.named else ()
        return FollowUp(reason, self.why, say, place.moves(*((ask, place.number) for ask in self.asks)))


_DETOURS = {
    "other-form": _Detour(
        "The number was right, said by another name than asked: hear it once as asked, then ask again."
    ),
    "not-a-number": _Detour("No number was heard: ask once more."),
    "lost-zero": _Detour(
        "An empty place was left out: tell the digits place by place, then ask again.", "digits", ("places",)
    ),
    "added-part": _Detour(
        "A part was put in that is not there: tell the digits place by place, then ask again.", "digits", ("places",)
    ),
    "other-digit": _Detour(
        "One digit was another: tell the digits place by place, then ask again.", "digits", ("places",)
    ),
    "digits-swapped": _Detour(
        "Two digits changed places: say its tens name and tell its digits, then ask again.",
        "explicit",
        ("say-back:explicit", "places"),
    ),
    "wrong-place-word": _Detour(
        "The digits are right, the places are not: tell the digits place by place, then ask again.",
        "explicit",
        ("places", "tens-in:tens"),
    ),
    "dropped-part": _Detour(
        "A part of the number was left out: hear it again in parts, tell the places, then ask again.",
        "explicit",
        ("say-back:explicit", "places"),
    ),
}


def _teen_ty(place: _Place) -> FollowUp:
    number = place.number
    teen = next((teen for teen in map(_teen, (number % 100, number // 1000 % 100)) if teen), 13)
    whole = (teen - 10) * 10
    return FollowUp(
        "teen-ty-swap",
        "A teen and a ten sound alike: say their tens names, clap them, then ask again.",
        (said("follow.teen-ty-swap", teen=Named(teen, "explicit"), ty=Named(whole, "explicit")),),
        place.moves(("say-back:explicit", number), ("claps:count", whole)),
    )


def _teen(part: int) -> int | None:
    """The teen of a part below a hundred that is a teen or the ten that sounds like one."""
    if 13 <= part <= 19:
        return part
    return 10 + part // 10 if part in range(30, 91, 10) else None


def _counted(place: _Place) -> FollowUp:
    number = place.number
    smaller = sorted({max(1, number // 2), max(1, number - 2)} - {number})
    return FollowUp(
        "counted",
        "This was counted, one by one: show smaller groups for a moment, then the same again.",
        (said("follow.counted"),),
        tuple(place.piece("glimpse", less) for less in smaller) if place.question.activity == "glimpse" else (),
    )


def _glued(place: _Place) -> FollowUp:
    number = place.number
    place_value = 10 ** (len(str(number)) - 1)
    largest = number // place_value * place_value
    alone = (place.piece("build:plain", largest),) if largest != number else ()
    return FollowUp(
        "glued-parts",
        "The parts were written one after the other: build the largest part alone, tell the places, then ask again.",
        (said("follow.glued-parts", number=Named(number, "digits")),),
        (*alone, *place.moves(("places", number))),
    )


def _digit_by_digit(place: _Place) -> FollowUp:
    form = "explicit" if differs(place.number) else "plain"
    why = "The digits were read out one by one: hear the number as tens and ones, then ask again."
    return _Detour(why, "explicit", (f"say-back:{form}",)).taken("digit-by-digit", place)


def _put_together(place: _Place) -> FollowUp:
    form = place.question.form if place.question.form in FORMS else "plain"
    why = "The name was not put together as one: hear it in one form and say it back, then ask again."
    return _Detour(why, asks=(f"say-back:{form}",)).taken("mixed-form", place)


def _off_by_one(place: _Place) -> FollowUp:
    number = place.question.value
    moves = place.moves(("next-door:next", number - 1))
    return FollowUp(
        "off-by-one",
        "One too many or too few: find its neighbour, then ask again.",
        (said("follow.off-by-one", number=Named(number)),) if moves else (),
        moves,
    )


def _off_by_ten(place: _Place) -> FollowUp:
    number = place.question.value
    return FollowUp(
        "off-by-ten",
        "One ten too many or too few: find ten more and say how many tens, then ask again.",
        (said("follow.off-by-ten", number=Named(number, "explicit")),),
        place.moves(("next-door:ten-more", number - 10), ("tens-in:tens", number)) if number > 10 else (),
    )


_SPECIAL: dict[str, Callable[[_Place], FollowUp]] = {
    "teen-ty-swap": _teen_ty,
    "glued-parts": _glued,
    "counted": _counted,
    "off-by-one": _off_by_one,
    "off-by-ten": _off_by_ten,
    "digit-by-digit": _digit_by_digit,
    **dict.fromkeys(("mixed-form", "malformed", "made-up-word", "uncommon-name"), _put_together),
}

REASONS = (*_DETOURS, *_SPECIAL)
"""All reasons that have a next step of their own."""
