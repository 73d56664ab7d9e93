"""Simulated children: what they know, how they forget, and what they say.

They know nothing of how questions are chosen: a child is handed a ``Question``
and gives an ``Response`` in words or digits, which then goes through the same
reading and judging as a real one. Their memory is of another kind than the two
models that the practice uses (knowledge tracing and FSRS): traces that decay as
powers of time, after Pavlik & Anderson (2005), "Practice and forgetting effects on
vocabulary memory: an activation-based model of the spacing effect", Cognitive
Science 29, 559-586:

    activation  m = ln(sum over presentations of t ** -d)
    decay       d = c * exp(m at that presentation) + a
    recall      p = 1 / (1 + exp((tau - m) / s))

``c``, ``a``, ``tau`` and ``h`` (time between sittings counts 0.025 of time within) are
their values, from memory; ``s`` is larger than theirs, because a child is noisier than
a student. All else (what a child starts with, the seconds it takes) is invented, except
the seconds for counting (Chi & Klahr 1975, Journal of Experimental Child
Psychology 19: about 1 s for each thing in five-year-olds; from memory).

What a question needs is a handful of *pieces* (the word thirteen, the shape of
4,030 in digits). Each answer, right or followed by the right answer said, presents
each piece once, whoever chose the question and for whatever purpose. So a detour after a
miss helps only through the pieces that it happens to need: saying "one-ten three"
back presents nothing of thirteen against thirty. Nothing rewards a plan for
being a plan.
"""

import math
from dataclasses import dataclass, field
from random import Random

from sayit.numbers import name
from sayit.practice.question import Question, Response

C, A, TAU, H = 0.217, 0.177, -0.704, 0.025
S = 0.25
NIGHT = 3_600.0
"""Gaps longer than this are time between sittings."""

Piece = tuple[str, int | str]


def pieces(question: Question) -> tuple[Piece, ...]:
    """What a child must have in its head to answer."""
    needed: list[Piece] = []
    for phrase in question.say:
        for _, named in phrase.values:
            needed += _name(named.value, named.form)
    activity, number = question.activity, question.about[0]
    if question.way == "digits" or question.form == "digits" or (question.show and question.show.kind == "digits"):
        needed += [("digits", _shape(value)) for value in question.about if value >= 10]
    if activity == "glimpse":
        needed.append(("see", number))
    if activity == "to-ten":
        needed.append(("pair", number))
    if activity == "tens-in":
        needed.append((question.variant, len(str(number))))
    if activity == "next-door":
        needed.append((question.variant, len(str(number))))
    if activity == "which-more":
        needed.append(("more", max(len(str(value)) for value in question.about)))
    if activity == "claps":
        needed.append(("claps", len(str(number))))
    if question.way == "spoken" and question.form != "digits":
        needed += _name(question.value, "plain" if question.form == "any" else question.form)
    return tuple(dict.fromkeys(needed))


def _name(number: int, form: str) -> list[Piece]:
    last = number % 100
    if form == "digits":
        return []
    found: list[Piece] = []
    if number >= 1000:
        found.append(("word", "thousand"))
    if number % 1000 >= 100:
        found.append(("word", "hundred"))
    if last < 10:
        return found
    if form == "explicit":
        return [*found, ("tens form", last // 10)]
    if last in TEENS or last in TIES:
        # The ear and the mouth tell these two apart, or do not.
        return [*found, ("teen or ty", last)]
    return [*found, ("word", last if last < 20 else last // 10 * 10)]


def _shape(number: int) -> str:
    return "".join("0" if digit == "0" else "d" for digit in str(number))


TEENS = range(13, 20)
TIES = range(30, 91, 10)


@dataclass
class Child:
    """A child with what it ``knows`` from before; all other pieces are new to it.

    ``quickness`` is how many presentations one answer is worth, ``slip`` the chance to be near the right
    answer only, ``slowness`` stretches its seconds. ``time`` passes in seconds.
    """

    random: Random
    known: frozenset[str] = frozenset()
    weak: frozenset[Piece] = frozenset()
    quickness: int = 1
    slip: float = 0.03
    slowness: float = 1.0
    time: float = 0.0
    traces: dict[Piece, list[tuple[float, float]]] = field(default_factory=dict)
    last_seen: float = 0.0

    def pass_time(self, seconds: float) -> None:
        """Let time pass; between sittings it counts less (Pavlik & Anderson's ``h``)."""
        self.time += seconds if seconds < NIGHT else seconds * H

    def activation(self, piece: Piece) -> float:
        if self._from_before(piece):
            return 1.5
        traces = self.traces.get(piece, ())
        total = sum(max(self.time - at, 1.0) ** -decay for at, decay in traces)
        return math.log(total) if total > 0 else float("-inf")

    def recall(self, piece: Piece) -> float:
        """Chance that the piece comes when needed."""
        strength = self.activation(piece)
        return 0.0 if strength == float("-inf") else 1 / (1 + math.exp((TAU - strength) / S))

    def _from_before(self, piece: Piece) -> bool:
        return piece not in self.weak and piece[0] in self.known

    def present(self, piece: Piece) -> None:
        if self._from_before(piece):
            return
        for _ in range(self.quickness):
            strength = self.activation(piece)
            decay = C * (0.0 if strength == float("-inf") else math.exp(strength)) + A
            self.traces.setdefault(piece, []).append((self.time, min(decay, 2.0)))

    def answer(self, question: Question) -> Response:
        """What the child says or builds; also what it learns, since the right answer is said after it."""
        needed = pieces(question)
        came = {piece: self.random.random() < self.recall(piece) for piece in needed}
        weakest = min((self.activation(piece) for piece in needed), default=1.5)
        seconds = (0.8 + 1.2 * math.exp(-max(weakest, TAU)) * self.random.lognormvariate(0, 0.25)) * self.slowness
        slip = self.random.random() < self.slip
        answer = self._say(question, [piece for piece in needed if not came[piece]], seconds, slip)
        for piece in needed:
            self.present(piece)
        return answer

    def _say(self, question: Question, lost: list[Piece], seconds: float, slip: bool) -> Response:
        value = question.value
        if question.activity == "glimpse" and lost and lost[0][0] == "see":
            # Does not see it, so counts: right nearly always, but one by one; sometimes aloud.
            seconds = 0.8 + 1.0 * value * self.random.lognormvariate(0, 0.15)
            if self.random.random() < 0.3:
                return Response(words=" ".join(name(count) for count in range(1, value + 1)), response_seconds=1.0)
            value += self.random.choice((-1, 1)) if self.random.random() < 0.05 else 0
            return Response(words=name(max(value, 1)), response_seconds=seconds)
        heard = list(question.about)
        for kind, which in lost:
            if kind == "teen or ty":
                # Heard wrongly, or said wrongly; a number both heard and said is exchanged once.
                in_question = any(number % 100 == which for number in heard)
                heard = [_other(number) if number % 100 == which else number for number in heard]
                if in_question:
                    value = _follow(question, heard)
                elif value % 100 == which:
                    value = _other(value)
            elif kind == "digits":
                if "0" not in str(which).rstrip("0"):
                    return self._guess(question, seconds)
                heard = [_lose_zeros(number) if _shape(number) == which else number for number in heard]
                value = _follow(question, heard)
            elif kind in ("word", "tens form"):
                return self._guess(question, seconds)
            else:
                value = self._near(question)
        if slip and value == question.value:
            value = self._near(question)
        return _given(question, value, seconds)

    def _near(self, question: Question) -> int:
        if question.activity == "which-more":
            # With nothing to go by, one of the two: a guess.
            return self.random.choice(question.about)
        step = self.random.choice((-1, 1))
        return max(question.value + step, 0)

    def _guess(self, question: Question, seconds: float) -> Response:
        # Does not know it: something near, after a while.
        value = question.value
        guess = value + self.random.choice((-2, -1, 1, 2))
        return _given(question, max(guess, 0), seconds + 2.0)


def _given(question: Question, value: int, seconds: float) -> Response:
    if question.way == "digits":
        return Response(digits=str(value), response_seconds=seconds + 1.0)
    if question.way == "choice":
        return Response(choice=value if value in question.about else min(question.about), response_seconds=seconds)
    if question.form == "digits":
        return Response(words=" ".join(name(int(digit)) for digit in str(value)), response_seconds=seconds)
    return Response(words=name(value, "plain" if question.form == "any" else question.form), response_seconds=seconds)


def _follow(question: Question, heard: list[int]) -> int:
    """The right answer to the question as it was heard."""
    if question.activity == "which-more":
        return question.about[heard.index(max(heard))]
    if question.activity == "next-door":
        return max(question.value + heard[0] - question.about[0], 0)
    if question.activity == "tens-in":
        return heard[0] // (10 if question.variant == "tens" else 100)
    return heard[0]


def _other(number: int) -> int:
    """The number with its teen and ty exchanged: 13 and 30."""
    last = number % 100
    return number - last + ((last - 10) * 10 if last < 20 else 10 + last // 10)


def _lose_zeros(value: int) -> int:
    digits = str(value)
    body, tail = digits.rstrip("0"), len(digits) - len(digits.rstrip("0"))
    return int(body.replace("0", "") + "0" * tail)
