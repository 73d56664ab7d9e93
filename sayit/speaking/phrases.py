"""The phrase bank: all that the tool says, kept as data that a parent may reword.

A bank is a TOML file, ``prompts/en.toml``: each key has one wording or a list of
wordings, one of which is drawn each time.  Words in braces stand for what
changes.  The keys, and which numbers a phrase may name, are those of
``sayit.practice.phrases``, so that a question cannot give its own answer away.
"""

from __future__ import annotations

import os
import random
import re
import string
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from sayit.errors import SayitError
from sayit.practice.phrases import PHRASES
from sayit.speaking.utterance import Piece, Utterance

__all__ = ["BY_NAME", "KEYS", "RENAMED", "Bank", "Fields", "open_bank", "parse"]


@dataclass(frozen=True, slots=True)
class Fields:
    """Which words in braces a phrase may hold, and which each of its wordings must hold."""

    may: frozenset[str]
    must: frozenset[str]


_MUST = ("ask.", "reply.model", "reply.other-form")
"""A question is none without its numbers, and the right answer is always said."""


def _fields(key: str, blanks: tuple[str, ...]) -> Fields:
    return Fields(frozenset((*blanks, "child")), frozenset(blanks) if key.startswith(_MUST) else frozenset())


KEYS: Mapping[str, Fields] = {key: _fields(key, blanks) for key, blanks in PHRASES.items()}
"""Every phrase of the bank."""

RENAMED: Mapping[str, str | None] = {
    "hello": "session.hello",
    "goodbye": "session.goodbye",
    "grown-up-listens": "session.parent-listens",
    "ask-back": "ask.say-back",
    "ask-explicit": "ask.other-way-explicit",
    "ask-plain": "ask.other-way-plain",
    "answer-right": "reply.yes",
    "answer-wrong": "reply.model",
    "answer-other-explicit": "reply.other-form-explicit",
    "answer-other-plain": "reply.other-form-plain",
    "answer-unclear": "reply.again",
    "answer-not-a-number": "reply.not-a-number",
    "answer-not-heard": "reply.not-heard",
    **dict.fromkeys(("explain-explicit", "explain-plain", "speak-up", "step-back", "skip", "rest")),
    "follow.other-digit": "follow.in-tens",
    "follow.glued-parts": "follow.written",
    "follow.wrong-place-word": "follow.written",
    "follow.off-by-one": "follow.after",
    "follow.off-by-ten": "follow.ten-more",
    "follow.digit-by-digit": None,
}
"""Phrases by the names that they had in earlier banks, and their names now; None for those no longer said."""

BY_NAME = ("your-turn",)
"""Phrases that name the child wherever they can: one of several who cannot read must hear whose turn it is."""

_EVER = frozenset().union(*(fields.may for fields in KEYS.values()))
_FOLLOWS = re.compile(r"[.!?,;:]+")


@dataclass(frozen=True, slots=True)
class Bank:
    """Wordings for every key of :data:`KEYS`."""

    wordings: Mapping[str, tuple[str, ...]]

    def choose(self, key: str, rng: random.Random, *, child: str = "", **numbers: str) -> Utterance:
        """Draw one wording of ``key`` and fill it in.

        ``numbers`` fill its words in braces: names of numbers ("four-ten five"), not
        digits.  A wording that names the child is passed over when ``child`` is
        empty, and preferred where the turn passes on.  Raises KeyError for a key that the bank does not have and ValueError
        for a number that the wording needs and was not given: both are mistakes of
        the caller.
        """
        values = {**numbers, "child": child}
        wordings = list(enumerate(self.wordings[key], 1))
        named = [entry for entry in wordings if "child" in _names(entry[1])]
        if not child:
            wordings = [entry for entry in wordings if entry not in named]
        elif key in BY_NAME and named:
            wordings = named
        index, wording = rng.choice(wordings)
        if short := [name for name in _names(wording) if not values.get(name)]:
            raise ValueError(f"phrase {key!r} needs {', '.join(short)}")
        return _fill(f"{key}-{index}", wording, values)

    def slots(self) -> dict[str, str]:
        """Each recording that a parent may make for this bank, and the words to say in it."""
        found: dict[str, str] = {}
        for key, wordings in self.wordings.items():
            for index, wording in enumerate(wordings, 1):
                filled = _fill(f"{key}-{index}", wording, dict.fromkeys(_EVER, "…"))
                found |= {piece.slot: piece.words.strip() for piece in filled.pieces if piece.slot}
        return found


def _names(wording: str) -> list[str]:
    return [name for _, name, _, _ in string.Formatter().parse(wording) if name is not None]


def _fill(slot: str, wording: str, values: Mapping[str, str]) -> Utterance:
    """Put the values in and cut the wording into text and numbers.

    A wording with the child's name has no slot: only the name in it can be recorded.
    Text around a number has the slot with a letter more: ``ask.say-back-1a`` comes
    before the number, ``ask.say-back-1b`` after it.
    """
    named = "child" in _names(wording)
    child = values["child"].replace("{", "").replace("}", "") if named else ""
    if named:
        wording = wording.replace("{child}", child)
    stretches = list(string.Formatter().parse(wording))
    whole = len(stretches) == 1 and stretches[0][1] is None
    pieces: list[Piece] = []
    letters = iter(string.ascii_lowercase)
    for words, name, _, _ in stretches:
        left = words
        if pieces and pieces[-1].kind == "number" and (follows := _FOLLOWS.match(left)):
            pieces[-1] = Piece(pieces[-1].words, "number", mark=follows.group())
            left = left[follows.end() :]
        if left.strip():
            own = None if named else slot if whole else f"{slot}{next(letters)}"
            pieces.append(Piece(left.strip(), slot=own, name=child if child and child in left else ""))
        if name is not None:
            pieces.append(Piece(values[name], "number"))
    return Utterance(string.Formatter().vformat(wording, (), values), tuple(pieces))


def open_bank(path: str | os.PathLike[str] | None = None) -> Bank:
    """Read a phrase bank, by default ``en.toml`` in the prompts folder.

    What a household's own bank lacks is said as in the one that comes with sayit: it may hold a few phrases only, or
    be older. Raises SayitError, one line that names the file, for a file that is missing or is not TOML, and for a
    phrase that is unknown, empty, or uses words in braces that it may not use.
    """
    from sayit import paths

    path = Path(path) if path else paths.prompts() / "en.toml"
    embedded = paths.embedded_prompts() / "en.toml"
    beside = None if path == embedded or not embedded.is_file() else open_bank(embedded)
    try:
        written = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise SayitError(f"Cannot read the phrases in {path}: {error.strerror}. Put the file back.") from error
    except UnicodeDecodeError as error:
        raise SayitError(f"The phrases in {path} are not UTF-8 text: save the file as UTF-8.") from error
    return parse(written, str(path), beside)


def parse(written: str, source: str = "the phrases", beside: Bank | None = None) -> Bank:
    """Read a phrase bank from TOML text; ``source`` names it in errors, and ``beside`` has what it lacks."""
    try:
        table = tomllib.loads(written)
    except tomllib.TOMLDecodeError as error:
        raise SayitError(f"{source}: {error}. Check the quotes and commas there.") from error
    found = dict(_flat(table))
    if former := [key for key in found if key in RENAMED]:
        raise SayitError(f"{source}: {'; '.join(map(_now, former))}.")
    for key in found:
        if key not in KEYS:
            near = get_close_matches(key, KEYS, n=1)
            hint = f"did you mean {near[0]!r}?" if near else "take it out."
            raise SayitError(f"{source}: there is no phrase called {key!r}: {hint}")
    known = beside.wordings if beside else {}
    if missing := [key for key in KEYS if key not in found and key not in known]:
        raise SayitError(f"{source}: no wording for {', '.join(map(repr, missing))}: add one.")
    return Bank({key: _wordings(key, found[key], source) if key in found else known[key] for key in KEYS})


def _flat(table: Mapping[str, object], before: str = "") -> Iterator[tuple[str, object]]:
    """Keys with what they hold; TOML makes a table of ``ask.build`` where it stands without quotes."""
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _flat(value, f"{before}{key}.")
        else:
            yield before + key, value


def _now(key: str) -> str:
    """What to do about a key of an earlier bank."""
    now = RENAMED[key]
    return f"call {key!r} {now!r} now" if now else f"take {key!r} out, it is no longer said"


def _wordings(key: str, value: object, source: str) -> tuple[str, ...]:
    wordings = [value] if isinstance(value, str) else value
    if not isinstance(wordings, list) or not wordings or not all(isinstance(w, str) for w in wordings):
        raise SayitError(f'{source}: {key!r} must be text in quotes, or a list of them: ["...", "..."].')
    fields = KEYS[key]
    for wording in wordings:
        where = f"{source}: {key!r}, {wording!r}"
        if not wording.strip():
            raise SayitError(f"{source}: {key!r} has an empty wording: write some words or take it out.")
        if "\n" in wording.strip():
            raise SayitError(f"{source}: {key!r} has a wording of several lines: put it on one.")
        try:
            pieces = list(string.Formatter().parse(wording))
        except ValueError as error:
            raise SayitError(f"{where}: a brace is left open: write it as {{number}}.") from error
        for _, name, form, conversion in pieces:
            if name is None:
                continue
            allowed = " ".join(f"{{{name}}}" for name in sorted(fields.may))
            if name not in _EVER or form or conversion:
                raise SayitError(f"{where}: {{{name}}} is unknown; allowed here: {allowed}.")
            if name not in fields.may:
                raise SayitError(f"{where}: {{{name}}} may not stand in this phrase; allowed here: {allowed}.")
        if lost := fields.must.difference(_names(wording)):
            raise SayitError(f"{where}: put {' and '.join(f'{{{name}}}' for name in sorted(lost))} in.")
    if all("child" in _names(wording) for wording in wordings):
        raise SayitError(f"{source}: {key!r} needs one wording without {{child}}, for a child without a name.")
    return tuple(wording.strip() for wording in wordings)
