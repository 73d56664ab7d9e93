"""What a child is told after a miss: a word about the number that the question is about, short enough to be listened to.

With the right answer before it, where the words do not hold it themselves, it is at most 12 words for every number
of the path; larger numbers get the right answer alone.
"""

from collections.abc import Callable
from typing import Any

from sayit.practice.activities.activity import differs
from sayit.practice.activities.glimpse import GLIMPSE
from sayit.practice.activities.next_door import NEXT_DOOR
from sayit.practice.activities.tens_in import TENS_IN
from sayit.practice.activities.to_ten import TO_TEN
from sayit.practice.activities.which_more import WHICH_MORE
from sayit.practice.question import Named, Question, Said, said

LARGEST = 9_999

_AFTER_THE_ANSWER = ("follow.teen-ty-swap", "follow.counted", "follow.new-ten", "follow.rest-in-tens")
"""Words that do not say the answer themselves; so do some lessons."""


def tell(question: Question, reason: str) -> tuple[Said, ...]:
    """What to say about a question that was missed for a reason; () where the right answer is enough."""
    if max(question.value, *question.about) > LARGEST:
        return ()
    own = _OWN.get(question.activity)
    return own(question, reason) if own else _named(question, reason)


def holds_answer(say: tuple[Said, ...]) -> bool:
    """Whether the right answer is said in these words, so that it need not be said before them."""
    return bool(say) and say[0].key.startswith("follow.") and say[0].key not in _AFTER_THE_ANSWER


def pair_of(number: int) -> tuple[int, int] | None:
    """The teen and the ten that sound alike in a number's hundreds or its thousands, such as 13 and 30."""
    for part in (number % 100, number // 1000 % 100):
        if 13 <= part <= 19:
            return part, (part - 10) * 10
        if part in range(30, 91, 10):
            return 10 + part // 10, part
    return None


def _say(key: str, **numbers: int | Named) -> tuple[Said, ...]:
    named: dict[str, Any] = {blank: Named(one) if isinstance(one, int) else one for blank, one in numbers.items()}
    return (said(key, **named),)


def _in_tens(number: int, key: str = "follow.in-tens") -> tuple[Said, ...]:
    if number > 1_000 and number % 1_000 > 100 and number % 100:
        # Both its names, with "and" in them, would be too much to listen to.
        rest = number % 100
        return _say("follow.rest-in-tens", number=rest, in_tens=Named(rest, "explicit")) if differs(rest) else ()
    return _say(key, number=number, in_tens=Named(number, "explicit")) if differs(number) else ()


def _digits(question: Question, key: str = "follow.written") -> tuple[Said, ...]:
    """The digits of a number, by the name that was asked for or given."""
    number, form = question.value, question.variant if question.way == "digits" else question.form
    named = Named(number, "explicit" if form == "explicit" else "plain")
    return _say(key, number=named, digits=Named(number, "digits")) if number > 9 else ()


def _named(question: Question, reason: str) -> tuple[Said, ...]:
    """Where a number's name or its digits are wanted."""
    number = question.value
    digits = question.form == "digits"
    if reason in ("lost-zero", "added-zero"):
        zero = "0" in str(number) and reason == "lost-zero"
        return _digits(question, "follow.lost-zero" if zero else "follow.added-zero")
    if reason == "teen-ty-swap" and number < 100 and (pair := pair_of(number)):
        teen, ty = pair
        names = (Named(teen), Named(teen, "explicit"), Named(ty), Named(ty, "explicit"))
        return (
            said("follow.teen-ty-swap", **dict(zip(("teen", "teen_in_tens", "ty", "ty_in_tens"), names, strict=True))),
        )
    if digits or reason in ("wrong-place-word", "glued-parts"):
        return _digits(question)
    if reason in ("dropped-part", "added-part"):
        return _say(f"follow.{reason}", number=Named(number, "explicit" if question.form == "explicit" else "plain"))
    if reason == "digits-swapped" and number < 100:
        return _in_tens(number, "follow.digits-swapped")
    return _in_tens(number) if reason in _BY_BOTH_NAMES else ()


_BY_BOTH_NAMES = ("teen-ty-swap", "digits-swapped", "other-digit", "off-by-one", "off-by-ten", "other-number")


def _next_door(question: Question, reason: str) -> tuple[Said, ...]:
    (number,), value, variant = question.about, question.value, question.variant
    if variant in ("ten-more", "ten-less"):
        one = number + (1 if variant == "ten-more" else -1)
        if reason == "one-for-ten" and value < 100:
            return _say(f"follow.one-for-{variant}", one=one, ten=value)
        return _say(f"follow.{variant}", number=value)
    if variant == "before":
        return _say("follow.before", first=number, second=value)
    if reason == "decade-overrun" and value < 100:
        return _say("follow.new-ten", first=Named(number, "explicit"), second=Named(value, "explicit"))
    return _say("follow.after", first=number, second=value)


def _tens_in(question: Question, _reason: str) -> tuple[Said, ...]:
    (number,), value = question.about, question.value
    if question.variant == "hundreds":
        return _say("follow.hundreds-make", hundreds=value, number=number) if value > 1 else ()
    tens, ones = divmod(number, 10)
    if number < 20:
        return _say("follow.one-ten-and", tens=1, ones=ones) if ones else _say("follow.one-ten", tens=1)
    if number < 100 and ones:
        return (
            _say("follow.tens-and-ones", tens=tens, ones=ones) if ones > 1 else _say("follow.tens-and-one", tens=tens)
        )
    if number == 100:
        return _say("follow.ten-tens", tens=10)
    if 100 < number < 200:
        return _say("follow.tens-past-hundred", more=tens - 10, tens=tens)
    return _say("follow.tens-make", tens=tens, number=number)


def _glimpse(question: Question, reason: str) -> tuple[Said, ...]:
    number = question.value
    if number <= 5:
        return _say("follow.counted") if reason == "counted" else ()
    part = 5 if number <= 10 else 10
    return _say("follow.see-parts", part=part, rest=number - part, number=number)


_OWN: dict[str, Callable[[Question, str], tuple[Said, ...]]] = {
    NEXT_DOOR.slug: _next_door,
    TENS_IN.slug: _tens_in,
    TO_TEN.slug: lambda question, _: _say("follow.make-ten", first=question.about[0], second=question.value),
    WHICH_MORE.slug: lambda question, _: _say("follow.is-more", number=question.value),
    GLIMPSE.slug: _glimpse,
}
