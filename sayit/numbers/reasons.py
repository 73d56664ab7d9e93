"""Whatever can be noticed about an answer: one record for each reason, with all that is said of it.

The classes follow the published taxonomy of errors in number transcoding. A
*lexical* error takes another word in a sound frame: a neighbour in its row
("forty-six" for forty-five) or the same place in another row ("thirteen" for
thirty). A *syntactic* error keeps the words and breaks the frame of places: zeros
lost, a place word changed, parts strung together instead of overwritten.

Sources: Power & Dal Martello 1990, The dictation of Italian numerals, Language
and Cognitive Processes 5 (strung-together parts, the zero's overwriting); Seron &
Fayol 1994, Number transcoding in children, British Journal of Developmental
Psychology 12 (lexical and syntactic errors); Barrouillet, Camos, Perruchet & Seron
2004, ADAPT, Psychological Review 111 (parts lost from working memory). They treat
written numbers; which class each spoken reason goes to is our reading of them,
from memory.
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
        "the empty place in the middle was lost",
        because="a zero got lost",
    ),
    Reason(
        "wrong-place-word",
        "syntactic",
        "Right digits, other places",
        "the digits are right, their places are not",
        because="a digit went to the wrong place",
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
        "Counted, not seen",
        "counted up to it",
        because="it was counted one by one",
        wording="counted up one by one",
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
    Reason("typed", wording="written in figures"),
)

REASONS = {reason.slug: reason for reason in _ALL}
"""Every reason that a judgement or a reading can have."""


def reason_of(slug: str) -> Reason:
    """The reason of that name. One that only an older record knows is told in the words of its name."""
    words = slug.replace("-", " ")
    return REASONS.get(slug) or Reason(slug, "other", words.capitalize(), words, because=words, wording=words)
