"""Whether an answer was right in value and form, and if not, how it came about."""

from dataclasses import dataclass
from itertools import combinations, pairwise, product

from sayit.numbers.counts import is_count
from sayit.numbers.naming import Form, check
from sayit.numbers.reading import Reading, read
from sayit.numbers.reasons import REASONS

__all__ = ["Judgement", "judge", "slips"]


@dataclass(frozen=True, slots=True)
class Judgement:
    """The verdict on one answer.

    ``verdict`` is ``right`` (value and form), ``other-form`` (the value is right, said
    otherwise than asked), ``wrong`` (surely another number) or ``unclear`` (no number,
    or not to be told surely: ask again). ``value`` is what was heard, None where it
    was no number. ``reasons`` are keys of ``REASONS``, the most telling first, and
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
    with a word made up by rule, as "twenty hundred", as "twenty-ten" after twenty-nine
    (``decade-overrun``) or in pieces (``in-pieces``: "thirty-six five" for 365). A name that is the same in
    both forms is right in either, and so is a number said in both.

    Raises :class:`~sayit.SayitError` for an asked number or form that has no name.
    """
    check(asked, form)
    reading = heard if isinstance(heard, Reading) else read(heard)
    value = reading.value
    verdict, reasons = _verdict(asked, form, reading, sure)
    if verdict == "other-form":
        value = asked
    elif reasons[:1] == ("counted",) and reading.digits:
        value = is_count(reading.digits) or value
    return Judgement(asked, form, reading.words, value, verdict, reasons)


def _verdict(asked: int, form: Form, reading: Reading, sure: bool) -> tuple[str, tuple[str, ...]]:
    noted = reading.reasons
    doubts = tuple(reason for reason in _DOUBTS if reason in noted)
    if reading.value is None:
        return "unclear", tuple(reason for reason in noted if REASONS[reason].error_class)
    if not sure:
        return "unclear", ("not-sure",)
    if reading.form == "counted" and reading.digits == str(asked):
        return "other-form", ("digit-by-digit",)
    counted = is_count(reading.digits) if reading.form == "digits" and reading.digits else None
    if counted == asked != reading.value or (reading.digits == "12" and asked == 2):
        return "other-form", ("counted",)
    if "decade-overrun" in noted and asked == reading.others[0]:
        return "other-form", ("decade-overrun",)
    if _in_pieces(asked, reading):
        return "other-form", ("in-pieces",)
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
    if _said_alike(asked, form, reading.value, reading.form):
        return "unclear", ("teen-for-ten",)
    if reading.value == 0 and reading.words.strip(" .,!?").lower() == "oh":
        return "unclear", ("not-a-number",)
    if _hundreds_as_tens(asked, reading.numbers):
        return "wrong", ("wrong-place-word",)
    if counted is not None and asked < 100:
        return "wrong", ("counted", *slips(asked, counted))
    how = slips(asked, reading.value)
    if reading.form == "counted":
        return "wrong", ("counted", *how)
    return "wrong", (*how, *(reason for reason in (*_OTHER_WAYS, *_DOUBTS) if reason in noted))


_DOUBTS = ("malformed", "teen-for-ten", "taken-back", "undecided")
_OTHER_WAYS = (
    "digit-by-digit",
    "counted",
    "by-twos",
    "by-fives",
    "by-tens",
    "mixed-form",
    "made-up-word",
    "uncommon-name",
)


def _in_pieces(asked: int, reading: Reading) -> bool:
    """Whether the digits were cut into groups and each was named: "thirty-six five" for 365."""
    said = "".join(map(str, reading.numbers))
    return (
        asked > 99
        and reading.form != "counted"
        and said == str(asked)
        and not {"self-correction", "undecided", "repeated"} & {*reading.reasons}
    )


def _hundreds_as_tens(asked: int, numbers: tuple[int, ...]) -> bool:
    """Whether the hundreds digit was named as tens: "eighty thirty-four" for 834."""
    return 100 < asked < 1000 and numbers == (asked // 100 * 10, asked % 100)


def _said_alike(asked: int, form: Form, value: int, said: str) -> bool:
    """Whether "four-ten" and "fourteen" may have been taken for each other.

    They differ by a vowel only, so asked for the one in its form, the other tells nothing.
    """
    if form == "explicit" and said == "plain":
        tens, teens = asked, value
    elif form == "plain" and said == "explicit":
        tens, teens = value, asked
    else:
        return False
    while tens or teens:
        (tens, ten), (teens, teen) = divmod(tens, 1000), divmod(teens, 1000)
        alike = teen % 100 in _LIKE_TENS and ten == teen // 100 * 100 + (teen % 10) * 10
        if ten != teen and not alike:
            return False
    return True


_LIKE_TENS = (14, 16, 17, 18, 19)


def slips(asked: int, value: int) -> tuple[str, ...]:
    """How one number may come out as the other: reasons, the most telling first.

    Both are whole numbers from 0 on. () if they are the same, and never empty
    otherwise; ``other-number`` where nothing fits.

    >>> slips(4030, 430), slips(45, 54), slips(13, 30)
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
    if _zero_put_in(wanted, got):
        return ("added-zero",)
    if (wanted.replace("0", "") == got.replace("0", "") and asked and value) or _place_first(asked, value):
        return ("wrong-place-word",)
    if sorted(wanted) == sorted(got):
        return ("digits-swapped",)
    near = {1: ("off-by-one",), 10: ("off-by-ten",)}.get(abs(asked - value), ())
    part = ("dropped-part",) if _part_of(got, wanted) else ("added-part",) if _part_of(wanted, got) else ()
    # Nothing can be left out of "fifteen"; "ten" or "five" for it are neighbours first, and so is one too many.
    found = near + part if 10 < max(asked, value) < 20 or value == asked + 1 else part + near
    if found:
        return found
    if _digits_left_out(wanted, got):
        return ("dropped-part",)
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
    """4030 to 430, 8006 to 806 or 86; the zeros at the end stay."""
    inner, got_inner = wanted.rstrip("0"), got.rstrip("0")
    if len(wanted) - len(inner) != len(got) - len(got_inner) or len(got) >= len(wanted):
        return False
    rest = iter(inner)
    return inner.replace("0", "") == got_inner.replace("0", "") and all(digit in rest for digit in got_inner)


def _glued(wanted: str) -> set[str]:
    """The parts of a number written one after the other, in any grouping: 400030, 30045, 405, 4105."""
    parts = [
        int(digit) * 10**place
        for place, digit in zip(range(len(wanted) - 1, -1, -1), wanted, strict=True)
        if digit != "0"
    ]
    found = set()
    for cuts in range(1, len(parts)):
        for where in combinations(range(1, len(parts)), cuts):
            groups = [parts[a:b] for a, b in pairwise((0, *where, len(parts)))]
            found |= {"".join(ways) for ways in product(*map(_written, groups))}
    return found


def _written(group: list[int]) -> tuple[str, ...]:
    """A group of parts as it may be written: 600 as 600, or as 6100 where "hundred" is written out as 100."""
    whole = str(sum(group))
    return (whole, f"{whole[0]}1{whole[1:]}") if len(group) == 1 and group[0] > 9 else (whole,)


def _zero_put_in(wanted: str, got: str) -> bool:
    """3046 for 346, 40030 for 4030: one zero too many inside."""
    return len(got) == len(wanted) + 1 and any(
        got == f"{wanted[:at]}0{wanted[at:]}" for at in range(1, len(wanted.rstrip("0")))
    )


def _place_first(asked: int, value: int) -> bool:
    """102 for 200, "hundred two": the place word was put first."""
    digit, zeros = str(asked)[0], len(str(asked)) - 1
    return zeros > 1 and digit != "1" and asked == int(digit) * 10**zeros and value == 10**zeros + int(digit)


def _digits_left_out(wanted: str, got: str) -> bool:
    """4 for 45, 40 for 403: digits are missing, and the others stand in their order."""
    rest = iter(wanted)
    return got != "0" and len(got) < len(wanted) and all(digit in rest for digit in got)


def _part_of(some: str, whole: str) -> bool:
    """Whether ``some`` has only digits of ``whole``, each in its place, and not all of them."""
    if some == "0" or len(some) > len(whole):
        return False
    return all(digit in ("0", other) for digit, other in zip(some.zfill(len(whole)), whole, strict=True))
