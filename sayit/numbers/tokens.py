"""From written words to the tokens that the reader works on."""

import re
import unicodedata
from dataclasses import dataclass
from itertools import zip_longest

from sayit.numbers.homophones import FAINT, MADE_UP, canonical
from sayit.numbers.naming import name
from sayit.numbers.words import HIGHEST, PLACES, REPEATERS, TEENS, TENS, UNITS, ZEROS

__all__ = [
    "AND", "BREAK", "END", "HUNDRED", "INSTEAD", "NOT", "ONES", "OR", "REPEAT", "TALK", "TEEN", "TEN", "THOUSAND", "TY", "UNIT", "ZERO",
    "Tokens", "tokenise",
]  # fmt: skip

END, ZERO, UNIT, TEN, TEEN, TY, HUNDRED, THOUSAND, AND, REPEAT, INSTEAD, NOT, BREAK, TALK, ONES, OR = range(16)

_KINDS = {
    **dict.fromkeys(ZEROS, (ZERO, 0)),
    **{word: (UNIT, value) for word, value in UNITS.items()},
    **{word: (TEEN, value) for word, value in TEENS.items()},
    **{word: (TY, value) for word, value in TENS.items()},
    **{word: (REPEAT, times) for word, times in REPEATERS.items()},
    **{word: (kind, PLACES[word]) for word, kind in zip(PLACES, (TEN, HUNDRED, THOUSAND), strict=True)},
    "and": (AND, 0),
}

_FILLERS = frozenset(
    """um umm uh uhm er erm ah eh hm hmm mm mmm well so like please okay ok yes yeah yep maybe perhaps guess
    it it's its is that that's thats this the answer number i i'm im i'd say said think was be my you here
    there's have got we make makes equals""".split()
)
"""Sounds of thinking and words that frame an answer."""

_POINTS = frozenset("this that the which other another".split())
"""Words after which "one" stands for a thing, not for a number."""

_INSTEAD = frozenset("no nope sorry oops whoops wait mean actually rather".split())
"""Words after which a number is said anew."""

_ALONE = {"no": "<no>", "not": "<not>", "or": "<or>", "ones": "<ones>", "units": "<ones>"}

_NOT_WHOLE = frozenset("- point dot minus negative half halves quarter quarters".split())
_TOO_BIG = frozenset("million millions billion billions trillion trillions zillion gazillion".split())

_PIECES = re.compile(
    r"[a-z]+(?:'[a-z]+)*"
    r"|(?<!\w)-(?=\d)"
    r"|\d+(?:\.\d+)+|\d+/\d+"
    r"|\d{1,3}(?:,\d{3})+(?!\d)"
    r"|\d+(?:[a-z]+)?"
    r"|\.{2,}|…|[.!?;\n]"
    r"|[^\W\d_]+"
)
_DASHES = dict.fromkeys(map(ord, "‐‑‒–—−"), "-") | {ord("’"): "'", ord("‘"): "'", ord("⁄"): "/"}


@dataclass(slots=True)
class Tokens:
    """Tokens of one answer as three lists of one length (``kinds`` has END behind it).

    ``trouble`` names what keeps the words from being one whole number in range.
    """

    words: list[str]
    kinds: list[int]
    values: list[int]
    typed: bool = False
    made_up: bool = False
    talk: bool = False
    trouble: str | None = None


def tokenise(text: str) -> Tokens:
    """Sort the words of ``text``: number words in, fillers out, the rest noted as other talk."""
    if not text.isascii():
        text = unicodedata.normalize("NFKC", text).translate(_DASHES)
    found = Tokens([], [], [])
    words: list[tuple[str, bool]] = []
    before = ""
    pieces = _PIECES.findall(text.lower())
    for piece, after in zip_longest(pieces, pieces[1:], fillvalue=""):
        if piece == "one" and _points(before, words) and not set(canonical(after)) & set(PLACES):
            _talk(words, found)
        else:
            _sort(piece, words, found)
        before = piece
    start = 1 if words and words[0][0] == "oh" and not _digits_follow(words) else 0
    for at in range(start, len(words)):
        word, faint = words[at]
        if faint and found.talk and word != "and":
            continue
        if word == "a":
            if at + 1 == len(words) or words[at + 1][0] not in ("hundred", "thousand"):
                continue
            word = "one"
        kind, value = _MARKS.get(word) or _KINDS[word]
        found.words.append(word)
        found.kinds.append(kind)
        found.values.append(value)
    return found


def _points(before: str, words: list[tuple[str, bool]]) -> bool:
    """Whether a "one" there stands for a thing: "that one", "a hard one"."""
    return before in _POINTS or bool(words and words[-1][0] == "<talk>" and before not in _FILLERS)


_MARKS = {
    "<instead>": (INSTEAD, 0),
    "<no>": (INSTEAD, 0),
    "<or>": (OR, 0),
    "<ones>": (ONES, 1),
    "<not>": (NOT, 0),
    "<break>": (BREAK, 0),
    "<talk>": (TALK, 0),
}


def _sort(piece: str, words: list[tuple[str, bool]], found: Tokens) -> None:
    """Put one piece of the text where it belongs."""
    if known := canonical(piece):
        found.made_up |= piece in MADE_UP
        words.extend((word, piece in FAINT) for word in known)
    elif piece in _FILLERS:
        return
    elif piece in _ALONE:
        words.append((_ALONE[piece], False))
    elif piece in _INSTEAD:
        words.append(("<instead>", False))
    elif piece in ".!?;\n":
        words.append(("<break>", False))
    elif piece in _NOT_WHOLE or "/" in piece or "." in piece.strip("."):
        found.trouble = "not-a-whole-number"
    elif piece in _TOO_BIG:
        found.trouble = "too-big"
    elif piece[0].isdigit():
        _number(piece.replace(",", ""), words, found)
    elif piece[0] not in ".…":
        _talk(words, found)


def _talk(words: list[tuple[str, bool]], found: Tokens) -> None:
    found.talk = True
    words.append(("<talk>", False))


def _number(piece: str, words: list[tuple[str, bool]], found: Tokens) -> None:
    if not (piece.isascii() and piece.isdigit()):
        _talk(words, found)
        return
    significant = piece.lstrip("0") or "0"
    if len(significant) > len(str(HIGHEST)):
        found.trouble = "too-big"
        return
    found.typed = True
    words.extend((word, False) for word in name(int(significant)).replace("-", " ").split())


def _digits_follow(words: list[tuple[str, bool]]) -> bool:
    """Whether a first "oh" is a zero: alone, or before two single digits or more and nothing else."""
    rest = [word for word, _ in words[1:] if word != "<break>"]
    if not rest:
        return True
    return len(rest) > 1 and all(word in UNITS or word in ZEROS or word in REPEATERS for word in rest)
