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
from sayit.practice.activities.glimpse import GLIMPSE
from sayit.practice.activities.next_door import NEXT_DOOR
from sayit.practice.activities.places import PLACES
from sayit.practice.activities.say_back import SAY_BACK
from sayit.practice.activities.tens_in import TENS_IN
from sayit.practice.activities.to_ten import TO_TEN
from sayit.practice.path import Path, Step
from sayit.practice.question import Question, Said
from sayit.practice.telling import pair_of, tell


@dataclass(frozen=True, slots=True)
class FollowUp:
    """The next step after an answer.

    ``reason`` names what was noticed, ``why`` says it to the parent in a plain
    sentence, ``say`` is said to the child with the right answer or after it, ``moves`` are asked
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
        # Where its digits were wanted, they are answer enough.
        say = () if question.form == "digits" else (lesson.say(question.about[0]),)
        return FollowUp(question.activity, lesson.why, say)
    for reason in reasons:
        if step := NEXT_STEPS.get(reason):
            return step(_Miss(path, question, random), reason)
    return FollowUp(
        "", "Not yet: the answer was said, and the question comes back.", tell(question, "other-number"), again=False
    )


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

    @property
    def of_a_name(self) -> bool:
        """Whether a number's name or its digits were wanted, not how many there are of something."""
        return self.question.activity not in (GLIMPSE.slug, TENS_IN.slug, TO_TEN.slug)

    def ask(self, *steps: tuple[str, int]) -> tuple[Question, ...]:
        """Questions of these kinds and numbers, at the missed one's step where it has the number; never the missed one.

        No tens are asked for in numbers above 190: counting them is not the way to those.
        """
        own, question = self.path[self.question.step], self.question
        return tuple(
            self._one(own if number in own.numbers else self.path.home(number), ask, number)
            for ask, number in steps
            if _suits(ask, number)
            and (ask, number) != (question.ask, question.about[0])
            and not (ask == _TENS_IN_IT and number > _MOST_TENS_IN)
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
_MOST_TENS_IN = 190


@dataclass(frozen=True, slots=True)
class _Step:
    """What follows for a reason: what was ``noticed``, what is done (``does``) by ``moves`` before the same again.

    Where ``moves`` finds nothing to ask, hearing the answer is all that is done.
    """

    noticed: str
    does: str = "hear the answer"
    moves: Callable[[_Miss], tuple[Question, ...]] | None = None

    def __call__(self, miss: _Miss, reason: str) -> FollowUp:
        moves = self.moves(miss) if self.moves else ()
        does = self.does if moves or not self.moves else "hear the answer"
        return FollowUp(reason, f"{self.noticed}: {does}, then ask again.", tell(miss.question, reason), moves)


def _of_the_number(*asks: str) -> Callable[[_Miss], tuple[Question, ...]]:
    """Other questions about the same number, where its name or digits were missed."""
    return lambda miss: miss.ask(*((ask, miss.number) for ask in asks)) if miss.of_a_name else ()


def _teen_ty(miss: _Miss) -> tuple[Question, ...]:
    if not miss.of_a_name:
        return ()
    number = miss.number if pair_of(miss.number) else miss.question.about[0]
    _, whole = pair_of(number) or (13, 30)
    return miss.ask((_SAY_IN_TENS, number), (CLAPS.called("count"), whole))


def _smaller(miss: _Miss) -> tuple[Question, ...]:
    """Smaller quantities to see, where one was counted."""
    number = miss.number
    less = sorted({max(1, number // 2), max(1, number - 2)} - {number})
    return tuple(miss.piece(miss.question.ask, one) for one in less) if ACTIVITIES[miss.question.activity].seen else ()


def _largest_alone(miss: _Miss) -> tuple[Question, ...]:
    number = miss.number
    if not miss.of_a_name:
        return ()
    place_value = 10 ** (len(str(number)) - 1)
    largest = number // place_value * place_value
    alone = (miss.piece(BUILD.called("plain"), largest),) if largest != number else ()
    return (*alone, *miss.ask((_TELL_DIGITS, number)))


def _as_one(miss: _Miss) -> tuple[Question, ...]:
    """The number said back in the form that was wanted."""
    form = miss.question.form if miss.question.form in FORMS else "plain"
    return miss.ask((SAY_BACK.called(form), miss.number)) if miss.of_a_name else ()


def _as_tens(miss: _Miss) -> tuple[Question, ...]:
    form = "explicit" if differs(miss.number) else "plain"
    return miss.ask((SAY_BACK.called(form), miss.number)) if miss.of_a_name else ()


def _neighbour(miss: _Miss) -> tuple[Question, ...]:
    return miss.ask((NEXT_DOOR.called("next"), miss.question.value - 1)) if miss.of_a_name else ()


def _next_ten(miss: _Miss) -> tuple[Question, ...]:
    number = miss.question.value
    if not miss.of_a_name or number <= 10:
        return ()
    return miss.ask((NEXT_DOOR.called("ten-more"), number - 10), (_TENS_IN_IT, number))


NEXT_STEPS: dict[str, _Step] = {
    "other-form": _Step("The number was right, said by another name than asked", "hear it as asked"),
    "lost-zero": _Step("An empty place was left out", "tell its digits one by one", _of_the_number(_TELL_DIGITS)),
    "added-zero": _Step("A zero was put in", "tell its digits one by one", _of_the_number(_TELL_DIGITS)),
    "added-part": _Step("There was a part too much", "tell its digits one by one", _of_the_number(_TELL_DIGITS)),
    "other-digit": _Step("One digit was another", "tell its digits one by one", _of_the_number(_TELL_DIGITS)),
    "digits-swapped": _Step(
        "Digits changed places", "say its tens name, tell its digits", _of_the_number(_SAY_IN_TENS, _TELL_DIGITS)
    ),
    "wrong-place-word": _Step(
        "A part went to the wrong place",
        "tell its digits one by one",
        _of_the_number(_TELL_DIGITS, _TENS_IN_IT),
    ),
    "dropped-part": _Step(
        "A part was left out", "say its tens name, tell its digits", _of_the_number(_SAY_IN_TENS, _TELL_DIGITS)
    ),
    "teen-ty-swap": _Step("A teen and a ten sound alike", "say the tens name, clap the ten", _teen_ty),
    "glued-parts": _Step(
        "The parts were put one after the other", "make the largest part alone, tell all digits", _largest_alone
    ),
    "counted": _Step("This was counted or put together", "see smaller groups for a moment", _smaller),
    **{
        f"by-{steps}": _Step(f"This was counted by {steps}", "see smaller groups for a moment", _smaller)
        for steps in ("twos", "fives", "tens")
    },
    "off-by-one": _Step("One too many or too few", "find its neighbour", _neighbour),
    "off-by-ten": _Step("Ten too many or too few", "find ten more, tell how many tens", _next_ten),
    "digit-by-digit": _Step("The digits were told one by one", "say it as one number", _as_tens),
    "in-pieces": _Step("Its digits were read in pieces", "say it as one number", _as_tens),
    "decade-overrun": _Step("After nine comes a new ten", "say its tens name", _of_the_number(_SAY_IN_TENS)),
    "wrong-direction": _Step("It went the other way", "hear which comes where"),
    "one-for-ten": _Step(
        "One was taken for ten",
        "tell how many tens there are",
        lambda miss: miss.ask((_TENS_IN_IT, miss.question.about[0])),
    ),
    "told-ones": _Step("The ones were told, not the tens", "hear what is what"),
    "told-tens-digit": _Step("Only the digit of the tens was told, not all tens", "hear how many there are"),
    "told-number": _Step("A number of the question was told", "hear what was asked for"),
    "mixed-form": _Step("Both of its names were mixed", "say it back in one form", _as_one),
    "malformed": _Step("The name was not put together right", "say it back", _as_one),
    "made-up-word": _Step("A word was made up by rule", "say it back", _as_one),
    "uncommon-name": _Step("Hundreds were counted past nine", "say it back", _as_one),
    "undecided": _Step("It was one number or another", "say it back", _as_one),
}
"""The next step for each reason for which an answer can be missed.

"other-number" has none, for nothing is known of it, and "teen-for-ten" only adds a doubt to a reason that has one.
"""
