"""Whatever can be noticed about an answer: one record for each reason, with all that is said of it.

The classes follow the published taxonomy of errors in number transcoding. A
*lexical* error takes another word in a sound frame (364 for 365); a *syntactic*
error breaks the frame of places: parts strung together instead of overwritten, a
zero too many or lost, a place word changed or put first.

Sources, by reason, with what was asked and what children gave:

- ``glued-parts`` 30065 for 365, ``added-zero`` 3065 for 365, and 364 for 365 as lexical: Power & Dal Martello 1990, The
  dictation of Italian numerals, Language and Cognitive Processes 5(3), 237-254; of 128 errors 111 were syntactic.
- ``in-pieces`` "thirty six five" for 365; ``wrong-place-word`` "hundred two" for 200, "eighty thirty four" for 834, "eighty
  thousand and three" for 803: Power & Dal Martello 1997, From 834 to eighty thirty four, Mathematical Cognition 3(1), 63-85.
- ``glued-parts`` 600402 and 610042 for 642, ages 4 to 6: Byrge, Smith & Mix 2014, Beginnings of place value, Child
  Development 85(2), 437-443.
- ``digits-swapped`` 42 for 24, common in German, very rare in English: Zuber, Pixner, Moeller & Nuerk 2009, doi
  10.1016/j.jecp.2008.04.003, after Steiner et al. 2021, Journal of Numerical Cognition 7(3), 368-387.
- ``counted``: Carpenter & Moser 1984, Journal for Research in Mathematics Education 15(3), 179-202 (from memory).
- ``teen-ty-swap``, ``decade-overrun``, ``wrong-direction``, ``one-for-ten``, ``told-ones``, ``told-tens-digit``,
  ``told-number``, ``dropped-part``, ``added-part`` and the rest: common practice, no source.
"""

from dataclasses import dataclass
from typing import Literal

from sayit.numbers.words import HIGHEST

__all__ = ["REASONS", "Reason", "reason_of"]

ErrorClass = Literal["lexical", "syntactic", "other", ""]


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason, by its ``slug``.

    A reason that a judgement can have has an ``error_class``, ``words`` that say why it was judged so, and a
    ``title`` of a few words for the report. One for which an answer can be missed also has ``because``, which
    follows on "lately ...", and a next step in ``sayit.practice.followups``. ``wording`` says what a reading
    with this reason tells about a wording, whatever was asked. What does not apply is "".
    """

    slug: str
    error_class: ErrorClass = ""
    title: str = ""
    words: str = ""
    because: str = ""
    wording: str = ""


_ALL = (
    Reason(
        "teen-ty-swap",
        "lexical",
        "Teens and tens mixed up",
        "teen and ty swapped",
        because="teens and tens were mixed up (thirteen, thirty)",
    ),
    Reason(
        "off-by-one",
        "lexical",
        "One too many or too few",
        "one too many or too few",
        because="it was one too many or too few",
    ),
    Reason(
        "off-by-ten",
        "lexical",
        "Ten too many or too few",
        "one ten too many or too few",
        because="it was ten too many or too few",
    ),
    Reason("other-digit", "lexical", "One digit is another", "one digit is another", because="one digit was another"),
    Reason("other-number", "other", "Another number", "another number", because="another number was said"),
    Reason(
        "digits-swapped",
        "syntactic",
        "Digits changed places",
        "the digits changed places",
        because="two digits changed places",
    ),
    Reason(
        "lost-zero",
        "syntactic",
        "A zero got lost",
        "an empty place in the middle was lost",
        because="a zero got lost",
    ),
    Reason(
        "wrong-place-word",
        "syntactic",
        "A part in the wrong place",
        "a part went to the wrong place",
        because="a part went to the wrong place",
    ),
    Reason(
        "glued-parts",
        "syntactic",
        "Parts strung together",
        "the parts were strung together",
        because="the parts were written one after the other",
    ),
    Reason(
        "dropped-part",
        "syntactic",
        "A part left out",
        "a part was left out",
        because="a part of the number was left out",
    ),
    Reason("added-part", "syntactic", "A part too much", "a part was added", because="a part was put in"),
    Reason(
        "malformed",
        "syntactic",
        "A place word too many",
        "a place word too many",
        because="the name was not put together right",
        wording="not put together as a number name is",
    ),
    Reason(
        "teen-for-ten",
        "lexical",
        "Teens and tens mixed up",
        "a teen and so many tens sound alike",
        because="a teen was heard where so many tens were to be said",
        wording="a teen where so many tens must be meant; they sound alike",
    ),
    Reason(
        "uncommon-name",
        "syntactic",
        "Hundreds counted past nine",
        "hundreds counted past nine",
        because="the hundreds were counted past nine",
        wording="hundreds counted past nine, such as twenty hundred",
    ),
    Reason(
        "digit-by-digit",
        "syntactic",
        "Told digit by digit",
        "said digit by digit",
        because="the digits were read one by one",
        wording="the digits were told one by one",
    ),
    Reason(
        "counted",
        "other",
        "Counted or put together",
        "counted or put together",
        because="it was counted or put together, not known or seen at once",
        wording="counted on to the last number, or put together from two",
    ),
    *(
        Reason(
            f"by-{steps}",
            "other",
            f"Counted by {steps}",
            f"counted by {steps}",
            because=f"it was counted by {steps}",
            wording=f"counted by {steps}",
        )
        for steps in ("twos", "fives", "tens")
    ),
    Reason(
        "decade-overrun",
        "syntactic",
        "Past nine without a new ten",
        "counted past nine without a new ten",
        because="no new ten came after nine (twenty-nine, twenty-ten)",
        wording="past nine without a new ten, such as twenty-ten",
    ),
    Reason(
        "wrong-direction",
        "other",
        "The other way",
        "went the other way",
        because="it was more for less, or after for before",
    ),
    Reason(
        "one-for-ten",
        "other",
        "One in place of ten",
        "one more or less in place of ten",
        because="one was taken for ten",
    ),
    Reason("told-ones", "other", "Told the ones", "these are the ones", because="the ones were told"),
    Reason(
        "told-tens-digit",
        "other",
        "Told one digit",
        "this is only the digit of the tens",
        because="the digit in the tens' place was told, not all tens",
    ),
    Reason(
        "told-number",
        "other",
        "Told a number of the question",
        "this number was in the question",
        because="a number of the question was told",
    ),
    Reason(
        "added-zero",
        "syntactic",
        "A zero too many",
        "a zero too many inside",
        because="a zero was put in",
    ),
    Reason(
        "in-pieces",
        "syntactic",
        "Read in pieces",
        "its digits were read in pieces",
        because="the digits were read in pieces (thirty-six five)",
    ),
    Reason(
        "undecided",
        "other",
        "One or the other",
        "it was one or the other",
        because="it was one or the other",
        wording="one number or another",
    ),
    Reason(
        "other-form",
        "other",
        "Said by another name",
        "said by another name than asked",
        because="it was said by another name",
    ),
    Reason(
        "mixed-form",
        "other",
        "Everyday and tens name mixed",
        "everyday and tens name mixed",
        because="both of its names were mixed",
        wording="everyday and tens name mixed in one",
    ),
    Reason(
        "made-up-word",
        "lexical",
        "A word made up by rule",
        "a word made up by rule",
        because="a word was made up",
        wording="a word made up by rule, such as fivety",
    ),
    Reason(
        "two-numbers",
        "other",
        "Two numbers at once",
        "it could be more than one number",
        wording="more than one number; the last one counts",
    ),
    Reason("taken-back", "other", "Taken back", "it was taken back", wording="taken back, without another number"),
    Reason("other-words", "other", "Other talk", "there was other talk", wording="other talk beside the number"),
    Reason("not-a-number", "other", "No number heard", "no number was heard", wording="no number in it"),
    Reason("not-a-whole-number", "other", "No whole number", "it was no whole number", wording="no whole number"),
    Reason("too-big", "other", "Too large a number", f"it was more than {HIGHEST:,}", wording=f"more than {HIGHEST:,}"),
    Reason("not-sure", "other", "Not heard clearly", "it was not heard clearly"),
    Reason("self-correction", wording="corrected on the way; the last number counts"),
    Reason("repeated", wording="said more than once"),
    Reason("repeated-part", wording="its end was said once more"),
    Reason("zero-named", wording="the empty places were named too"),
    Reason("ones-first", wording="the ones before the tens"),
    Reason("typed", wording="written in figures"),
)

REASONS = {reason.slug: reason for reason in _ALL}
"""Every reason that a judgement or a reading can have."""


def reason_of(slug: str) -> Reason:
    """The reason of that name. One that only an older record knows is told in the words of its name."""
    words = slug.replace("-", " ")
    return REASONS.get(slug) or Reason(slug, "other", words.capitalize(), words, because=words, wording=words)
