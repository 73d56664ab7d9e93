"""What comes after a miss: each reason has its own next step.

Nobody hears that an answer was wrong. The right answer is said, a small detour
goes to the bottom of the mistake, and the question comes back.
"""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from sayit.numbers import FORMS
from sayit.practice.activities import ACTIVITIES, make_question, split
from sayit.practice.activities.activity import differs
from sayit.practice.activities.build import BUILD
from sayit.practice.activities.claps import CLAPS
from sayit.practice.activities.next_door import NEXT_DOOR
from sayit.practice.activities.places import PLACES
from sayit.practice.activities.say_back import SAY_BACK
from sayit.practice.activities.tens_in import TENS_IN
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
    """The next step for a missed question; reasons in the judge's order, the first in ``NEXT_STEPS`` decides."""
    if lesson := ACTIVITIES[question.activity].lesson:
        return FollowUp(question.activity, lesson.why, (lesson.say(question.about[0]),))
    for reason in reasons:
        if taken := NEXT_STEPS.get(reason):
            return taken(_Miss(path, question, random))
    return FollowUp("", "Not yet: the answer was said, and the question comes back.", again=False)


@dataclass(frozen=True, slots=True)
class _Miss:
    """Where a mistake was made."""

    path: Path
    question: Question
    random: Random

    @property
    def number(self) -> int:
        """The number that the mistake was made in."""
        question = self.question
        return question.value if ACTIVITIES[question.activity].about_answer else question.about[0]

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


_SAY_IN_TENS = SAY_BACK.called("explicit")
_TELL_DIGITS = PLACES.called()
_TENS_IN_IT = TENS_IN.called("tens")


@dataclass(frozen=True, slots=True)
class _Detour:
    """A detour about the number itself: ``why`` for the parent, ``say`` to the child, what is asked."""

    reason: str
    why: str
    say: Callable[[int], tuple[Said, ...]] = lambda _number: ()
    asks: tuple[str, ...] = ()

    def __call__(self, miss: _Miss) -> FollowUp:
        say = self.say(miss.number)
        return FollowUp(self.reason, self.why, say, miss.moves(*((ask, miss.number) for ask in self.asks)))


def _in_tens(number: int) -> tuple[Said, ...]:
    return (said("follow.in-tens", number=Named(number), in_tens=Named(number, "explicit")),) if differs(number) else ()


def _turned_round(number: int) -> tuple[Said, ...]:
    if number > 99 or not differs(number):
        return _in_tens(number)
    return (said("follow.digits-swapped", number=Named(number), in_tens=Named(number, "explicit")),)


def _written(key: str) -> Callable[[int], tuple[Said, ...]]:
    def say(number: int) -> tuple[Said, ...]:
        return (said(key, number=Named(number), digits=Named(number, "digits")),) if number > 9 else ()

    return say


def _plainly(key: str) -> Callable[[int], tuple[Said, ...]]:
    return lambda number: (said(key, number=Named(number)),)


def _teen_ty(miss: _Miss) -> FollowUp:
    number = miss.number
    teen = next((teen for teen in map(_teen, (number % 100, number // 1000 % 100)) if teen), 13)
    whole = (teen - 10) * 10
    return FollowUp(
        "teen-ty-swap",
        "A teen and a ten sound alike: say their tens names, clap them, then ask again.",
        (
            said(
                "follow.teen-ty-swap",
                teen=Named(teen),
                teen_in_tens=Named(teen, "explicit"),
                ty=Named(whole),
                ty_in_tens=Named(whole, "explicit"),
            ),
        ),
        miss.moves((_SAY_IN_TENS, number), (CLAPS.called("count"), whole)),
    )


def _teen(part: int) -> int | None:
    """The teen of a part below a hundred that is a teen or the ten that sounds like one."""
    if 13 <= part <= 19:
        return part
    return 10 + part // 10 if part in range(30, 91, 10) else None


def _counted(miss: _Miss) -> FollowUp:
    number = miss.number
    smaller = sorted({max(1, number // 2), max(1, number - 2)} - {number})
    return FollowUp(
        "counted",
        "This was counted, one by one: show smaller groups for a moment, then the same again.",
        (said("follow.counted"),),
        tuple(miss.piece(miss.question.ask, less) for less in smaller)
        if ACTIVITIES[miss.question.activity].seen
        else (),
    )


def _glued(miss: _Miss) -> FollowUp:
    number = miss.number
    place_value = 10 ** (len(str(number)) - 1)
    largest = number // place_value * place_value
    alone = (miss.piece(BUILD.called("plain"), largest),) if largest != number else ()
    return FollowUp(
        "glued-parts",
        "The parts were written one after the other: build the largest part alone, tell the places, then ask again.",
        _written("follow.written")(number),
        (*alone, *miss.moves((_TELL_DIGITS, number))),
    )


def _digit_by_digit(miss: _Miss) -> FollowUp:
    form = "explicit" if differs(miss.number) else "plain"
    why = "The digits were read out one by one: hear the number as tens and ones, then ask again."
    return _Detour("digit-by-digit", why, _in_tens, (SAY_BACK.called(form),))(miss)


def _put_together(miss: _Miss) -> FollowUp:
    form = miss.question.form if miss.question.form in FORMS else "plain"
    why = "The name was not put together as one: hear it in one form and say it back, then ask again."
    return _Detour("mixed-form", why, asks=(SAY_BACK.called(form),))(miss)


def _off_by_one(miss: _Miss) -> FollowUp:
    number = miss.question.value
    moves = miss.moves((NEXT_DOOR.called("next"), number - 1))
    return FollowUp(
        "off-by-one",
        "One too many or too few: find its neighbour, then ask again.",
        (said("follow.after", first=Named(number - 1), second=Named(number)),) if moves else (),
        moves,
    )


def _off_by_ten(miss: _Miss) -> FollowUp:
    number = miss.question.value
    return FollowUp(
        "off-by-ten",
        "One ten too many or too few: find ten more and say how many tens, then ask again.",
        _in_tens(number),
        miss.moves((NEXT_DOOR.called("ten-more"), number - 10), (_TENS_IN_IT, number)) if number > 10 else (),
    )


_DETOURS = (
    _Detour(
        "other-form", "The number was right, said by another name than asked: hear it once as asked, then ask again."
    ),
    _Detour(
        "lost-zero",
        "An empty place was left out: tell the digits place by place, then ask again.",
        _written("follow.lost-zero"),
        (_TELL_DIGITS,),
    ),
    _Detour(
        "added-part",
        "A part was put in that is not there: tell the digits place by place, then ask again.",
        _plainly("follow.added-part"),
        (_TELL_DIGITS,),
    ),
    _Detour(
        "other-digit",
        "One digit was another: tell the digits place by place, then ask again.",
        _in_tens,
        (_TELL_DIGITS,),
    ),
    _Detour(
        "digits-swapped",
        "Two digits changed places: say its tens name and tell its digits, then ask again.",
        _turned_round,
        (_SAY_IN_TENS, _TELL_DIGITS),
    ),
    _Detour(
        "wrong-place-word",
        "The digits are right, the places are not: tell the digits place by place, then ask again.",
        _written("follow.written"),
        (_TELL_DIGITS, _TENS_IN_IT),
    ),
    _Detour(
        "dropped-part",
        "A part of the number was left out: hear it again in parts, tell the places, then ask again.",
        _plainly("follow.dropped-part"),
        (_SAY_IN_TENS, _TELL_DIGITS),
    ),
)

NEXT_STEPS: dict[str, Callable[[_Miss], FollowUp]] = {
    **{detour.reason: detour for detour in _DETOURS},
    "teen-ty-swap": _teen_ty,
    "glued-parts": _glued,
    "counted": _counted,
    "off-by-one": _off_by_one,
    "off-by-ten": _off_by_ten,
    "digit-by-digit": _digit_by_digit,
    **dict.fromkeys(("mixed-form", "malformed", "made-up-word", "uncommon-name"), _put_together),
}
"""The next step for each reason for which an answer can be missed.

"other-number" has none, for nothing is known of it, and "teen-for-ten" only adds a doubt to a reason that has one.
"""
