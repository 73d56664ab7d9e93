"""Was an answer right in value and form, and if not, how did it come about?

The reasons follow the published taxonomy of errors in number transcoding. A
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
from itertools import combinations

from sayit.numbers.naming import Form, check, name
from sayit.numbers.reading import Reading, read
from sayit.numbers.words import HIGHEST

__all__ = ["ERROR_CLASS", "IN_WORDS", "Judgement", "explain", "judge", "slips"]

_REASONS = {
    "teen-ty-swap": ("lexical", "teen and ty swapped"),
    "off-by-one": ("lexical", "one too many or too few"),
    "off-by-ten": ("lexical", "one ten too many or too few"),
    "other-digit": ("lexical", "one digit is another"),
    "other-number": ("other", "another number"),
    "digits-swapped": ("syntactic", "the digits changed places"),
    "lost-zero": ("syntactic", "the empty place in the middle was lost"),
    "wrong-place-word": ("syntactic", "the digits are right, their places are not"),
    "glued-parts": ("syntactic", "the parts were strung together"),
    "dropped-part": ("syntactic", "a part was left out"),
    "added-part": ("syntactic", "a part was added"),
    "malformed": ("syntactic", "a place word too many"),
    "teen-for-ten": ("lexical", "a teen and so many tens sound alike"),
    "uncommon-name": ("syntactic", "hundreds counted past nine"),
    "digit-by-digit": ("syntactic", "said digit by digit"),
    "counted": ("other", "counted up to it"),
    "other-form": ("other", "said by another name than asked"),
    "mixed-form": ("other", "everyday and tens name mixed"),
    "made-up-word": ("lexical", "a word made up by rule"),
    "two-numbers": ("other", "it could be more than one number"),
    "taken-back": ("other", "it was taken back"),
    "other-words": ("other", "there was other talk"),
    "not-a-number": ("other", "no number was heard"),
    "not-a-whole-number": ("other", "it was no whole number"),
    "too-big": ("other", f"it was more than {HIGHEST:,}"),
    "not-sure": ("other", "it was not heard clearly"),
}

ERROR_CLASS = {reason: kind for reason, (kind, _) in _REASONS.items()}
"""Every reason that a judgement can have, with its class: ``lexical``, ``syntactic`` or ``other``."""

IN_WORDS = {reason: words for reason, (_, words) in _REASONS.items()}
"""Every reason that a judgement can have, in a few words for the parent."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """The verdict on one answer.

    ``verdict`` is ``right`` (value and form), ``other-form`` (the value is right, said
    otherwise than asked), ``wrong`` (surely another number) or ``unclear`` (no number,
    or not to be told surely: ask again). ``value`` is what was heard, None where it
    was no number. ``reasons`` are keys of ``ERROR_CLASS``, the most telling first, and
    empty for a right answer.
    """

    asked: int
    form: str
    heard: str
    value: int | None
    verdict: str
    reasons: tuple[str, ...] = ()


def judge(asked: int, form: Form, heard: str | Reading, *, sure: bool = True) -> Judgement:
    """Judge an answer to ``asked`` in ``form``.

    ``sure`` is False where the listener could not tell what was said; that is
    ``unclear``, whatever was heard. So is any other doubt about a wrong value: other
    talk beside the number, two numbers of which the first was right, a malformed name
    that may be meant rightly, "fourteen" where "four-ten" was asked, a mere "oh".

    A right value counts as ``other-form`` also when it was said digit by digit
    (``digit-by-digit``), counted up to (``counted``), in a mixed name (``mixed-form``),
    with a word made up by rule or as "twenty hundred". A name that is the same in
    both forms is right in either, and so is a number said in both.

    Raises :class:`~sayit.SayitError` for an asked number or form that has no name.
    """
    check(asked, form)
    reading = heard if isinstance(heard, Reading) else read(heard)
    value = reading.value
    verdict, reasons = _verdict(asked, form, reading, sure)
    if verdict == "other-form":
        value = asked
    return Judgement(asked, form, reading.words, value, verdict, reasons)


def _verdict(asked: int, form: Form, reading: Reading, sure: bool) -> tuple[str, tuple[str, ...]]:
    noted = reading.reasons
    doubts = tuple(reason for reason in _DOUBTS if reason in noted)
    if reading.value is None:
        return "unclear", tuple(reason for reason in noted if reason in ERROR_CLASS)
    if not sure:
        return "unclear", ("not-sure",)
    if reading.form == "counted" and reading.digits == str(asked):
        return "other-form", ("digit-by-digit",)
    if reading.form == "digits" and asked > 1 and reading.digits == "123456789"[:asked]:
        return "other-form", ("counted",)
    if reading.value == asked:
        if doubts:
            return "unclear", doubts
        ways = tuple(reason for reason in _OTHER_WAYS if reason in noted)
        if ways:
            return "other-form", ways
        return ("right", ()) if reading.form in (form, "both") else ("other-form", ("other-form",))
    if asked in reading.others or "taken-back" in noted or "other-words" in noted:
        why = tuple(reason for reason in (*_DOUBTS, "other-words") if reason in noted)
        return "unclear", why or ("two-numbers",)
    if _said_alike(asked, form, reading):
        return "unclear", ("teen-for-ten",)
    if reading.value == 0 and reading.words.strip(" .,!?").lower() == "oh":
        return "unclear", ("not-a-number",)
    how = slips(asked, reading.value)
    if reading.form == "counted":
        return "wrong", ("counted", *how)
    return "wrong", (*how, *(reason for reason in (*_OTHER_WAYS, *_DOUBTS) if reason in noted))


_DOUBTS = ("malformed", "teen-for-ten", "taken-back")
_OTHER_WAYS = ("digit-by-digit", "counted", "mixed-form", "made-up-word", "uncommon-name")


def _said_alike(asked: int, form: Form, reading: Reading) -> bool:
    """Whether "four-ten" and "fourteen" may have been taken for each other.

    They differ by a vowel only, so asked for the one in its form, the other tells nothing.
    """
    if form == "explicit" and reading.form == "plain":
        tens, teens = asked, reading.value
    elif form == "plain" and reading.form == "explicit":
        tens, teens = reading.value, asked
    else:
        return False
    while tens or teens:
        (tens, ten), (teens, teen) = divmod(tens, 1000), divmod(teens, 1000)
        alike = teen % 100 in _LIKE_TENS and ten == teen // 100 * 100 + (teen % 10) * 10
        if ten != teen and not alike:
            return False
    return True


_LIKE_TENS = (14, 16, 17, 18, 19)


def explain(judgement: Judgement) -> str:
    """The judgement as one sentence for the parent.

    >>> explain(judge(13, "plain", "thirty"))
    'Heard thirty, wanted thirteen: teen and ty swapped.'
    """
    heard = " ".join(judgement.heard.split()) or "nothing"
    wanted = _wanted(judgement, in_figures=heard.isdecimal())
    if judgement.value is None and heard != "nothing":
        heard = f"“{heard}”"
    why = ", ".join(IN_WORDS[reason] for reason in judgement.reasons)
    if judgement.verdict == "right":
        return f"Heard {heard}: right{f', {why}' if why else ''}."
    if judgement.verdict == "unclear":
        return f"Heard {heard}, wanted {wanted}: {why or 'not clear'}; ask again."
    if judgement.verdict == "other-form":
        return f"Heard {heard}, wanted {wanted}: the number is right, {why or 'said by another name'}."
    return f"Heard {heard}, wanted {wanted}: {why or 'another number'}."


def _wanted(judgement: Judgement, *, in_figures: bool) -> str:
    """What was wanted, in the way in which the answer was given where that shows the difference best."""
    if judgement.form == "digits":
        digits = str(judgement.asked)
        return digits if in_figures else " ".join(name(int(digit)) for digit in digits)
    return name(judgement.asked, "explicit" if judgement.form == "explicit" else "plain")


def slips(asked: int, value: int) -> tuple[str, ...]:
    """How one number may come out as the other: reasons, the most telling first.

    Both are whole numbers from 0 on. () if they are the same, and never empty
    otherwise; ``other-number`` where nothing fits.

    >>> slips(5020, 520), slips(45, 54), slips(13, 30)
    (('lost-zero',), ('digits-swapped',), ('teen-ty-swap',))
    """
    if asked == value:
        return ()
    wanted, got = str(asked), str(value)
    if _teen_ty(asked, value):
        return ("teen-ty-swap",)
    if _inner_zeros_lost(wanted, got):
        return ("lost-zero",)
    if got in _glued(wanted):
        return ("glued-parts",)
    if wanted.replace("0", "") == got.replace("0", "") and asked and value:
        return ("wrong-place-word",)
    if sorted(wanted) == sorted(got):
        return ("digits-swapped",)
    near = {1: ("off-by-one",), 10: ("off-by-ten",)}.get(abs(asked - value), ())
    part = ("dropped-part",) if _part_of(got, wanted) else ("added-part",) if _part_of(wanted, got) else ()
    # Nothing can be left out of "fifteen"; "ten" or "five" for it are neighbours first.
    found = near + part if 10 < max(asked, value) < 20 else part + near
    if found:
        return found
    if len(wanted) == len(got) and sum(one != other for one, other in zip(wanted, got, strict=True)) == 1:
        return ("other-digit",)
    return ("other-number",)


def _teen_ty(asked: int, value: int) -> bool:
    """13 and 30, 214 and 240, 15,000 and 50,000: a teen and the ten that sounds like it, all else the same."""
    swapped = False
    while asked or value:
        (asked, one), (value, other) = divmod(asked, 1000), divmod(value, 1000)
        if one == other:
            continue
        teen, ty = sorted((one % 100, other % 100))
        if one // 100 != other // 100 or not 13 <= teen <= 19 or ty != (teen - 10) * 10:
            return False
        swapped = True
    return swapped


def _inner_zeros_lost(wanted: str, got: str) -> bool:
    """5020 to 520, 7005 to 705 or 75; the zeros at the end stay."""
    inner, got_inner = wanted.rstrip("0"), got.rstrip("0")
    if len(wanted) - len(inner) != len(got) - len(got_inner) or len(got) >= len(wanted):
        return False
    rest = iter(inner)
    return inner.replace("0", "") == got_inner.replace("0", "") and all(digit in rest for digit in got_inner)


def _glued(wanted: str) -> set[str]:
    """The parts of a number written one after the other, in any grouping: 500020, 30045, 405, 4105."""
    parts = [int(digit) * 10**place for place, digit in zip(range(len(wanted) - 1, -1, -1), wanted) if digit != "0"]
    found = set()
    for cuts in range(1, len(parts)):
        for where in combinations(range(1, len(parts)), cuts):
            edges = (0, *where, len(parts))
            found.add("".join(str(sum(parts[a:b])) for a, b in zip(edges, edges[1:])))
    if len(parts) > 1:
        found.add("".join(str(part)[0] + ("1" + str(part)[1:] if part > 9 else "") for part in parts))
    return found


def _part_of(some: str, whole: str) -> bool:
    """Whether ``some`` has only digits of ``whole``, each in its place, and not all of them."""
    if some == "0" or len(some) > len(whole):
        return False
    return all(digit in ("0", other) for digit, other in zip(some.zfill(len(whole)), whole))
